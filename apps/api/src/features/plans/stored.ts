import { z } from "zod";

const days = z.object({ farrierId: z.string(), fromOn: z.string(), toOn: z.string() });

/** What was asked for, as it lies in the plan's row. */
export const storedRequest = z.object({
  fromOn: z.string(),
  toOn: z.string(),
  farrierIds: z.array(z.string()),
  away: z.array(days),
  keepBooked: z.enum(["fixed", "promised", "free"]),
  urgentResetIds: z.array(z.string()),
  vetVisits: z.array(
    z.object({
      vetId: z.string(),
      yardId: z.string(),
      on: z.string(),
      from: z.string(),
      until: z.string(),
    }),
  ),
  seconds: z.number(),
});
export type StoredRequest = z.infer<typeof storedRequest>;
