import { z } from "zod";
import { operation } from "./operation.ts";
import { line, role } from "./primitives.ts";

/** A view of the queue a person comes back to: what is searched and which filters are on. */
export const queueView = z
  .strictObject({
    name: line(40),
    role,
    filters: z.record(z.string().max(20), z.string().max(100)),
  })
  .meta({ id: "SavedQueueView" });

export const preferences = z
  .object({
    lengthUnit: z.enum(["mm", "in"]),
    weightUnit: z.enum(["kg", "lb"]),
    queueViews: z.array(queueView).max(12),
  })
  .meta({ id: "Preferences" });
export type Preferences = z.infer<typeof preferences>;

export const readPreferences = operation({
  id: "readPreferences",
  method: "GET",
  path: "/session/preferences",
  tag: "preferences",
  access: "anyone",
  status: 200,
  summary:
    "Units and saved views of the person signed in; medicines show SI units whatever is chosen",
  response: preferences,
});
export const changePreferences = operation({
  id: "changePreferences",
  method: "PATCH",
  path: "/session/preferences",
  tag: "preferences",
  access: "anyone",
  status: 200,
  summary: "Choose units and keep views",
  body: z.strictObject({
    lengthUnit: z.enum(["mm", "in"]).optional(),
    weightUnit: z.enum(["kg", "lb"]).optional(),
    queueViews: z.array(queueView).max(12).optional(),
  }),
  response: preferences,
});
