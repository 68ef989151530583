import { z } from "zod";
import { operation } from "./operation.ts";
import { foot, id, instant, personRef, prose, version } from "./primitives.ts";

const staff = ["vet", "farrier", "manager", "carer"] as const;

export const limbWatch = z
  .object({
    id,
    horseId: id,
    horseName: z.string(),
    hurtLimb: foot,
    watchedFoot: foot,
    cause: z.enum(["cast", "lameness"]),
    because: z.string(),
    checksPerDay: z.int(),
    /** Checks still to be made today, at the yard. */
    dueToday: z.int(),
    missedYesterday: z.int(),
    lastCheckAt: instant.nullable(),
    startedBy: personRef,
    startedAt: instant,
    endedAt: instant.nullable(),
    endReason: z.string().nullable(),
    version,
  })
  .meta({ id: "LimbWatch" });
export type LimbWatch = z.infer<typeof limbWatch>;

export const listLimbWatches = operation({
  id: "listLimbWatches",
  method: "GET",
  path: "/horses/:horseId/limb-watches",
  tag: "examinations",
  access: staff,
  status: 200,
  summary: "Watches on the foot that carries the load of a hurt leg, newest first",
  params: z.strictObject({ horseId: id }),
  response: z.object({ items: z.array(limbWatch) }),
});
export const listOpenLimbWatches = operation({
  id: "listOpenLimbWatches",
  method: "GET",
  path: "/limb-watches",
  tag: "examinations",
  access: staff,
  status: 200,
  summary: "Feet under watch now, of every horse the caller sees, most checks to make first",
  query: z.strictObject({ yardId: id.optional() }),
  response: z.object({ items: z.array(limbWatch) }),
});
export const startLimbWatch = operation({
  id: "startLimbWatch",
  method: "POST",
  path: "/horses/:horseId/limb-watches",
  tag: "examinations",
  access: ["vet", "carer"],
  status: 201,
  summary: "Enter a cast or a leg lame at grade 4 or 5: opens twice-daily checks of the other foot",
  params: z.strictObject({ horseId: id }),
  body: z.strictObject({
    hurtLimb: foot,
    inCast: z.boolean(),
    lamenessGrade: z.int().min(0).max(5).optional(),
  }),
  response: limbWatch,
});
export const endLimbWatch = operation({
  id: "endLimbWatch",
  method: "POST",
  path: "/limb-watches/:watchId/end",
  tag: "examinations",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "End a watch, with the reason",
  params: z.strictObject({ watchId: id }),
  body: z.strictObject({ reason: prose(500) }),
  response: limbWatch,
});
