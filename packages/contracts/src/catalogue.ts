import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, json, line, personRef, prose, quantity, version } from "./primitives.ts";

const does = prose(500).describe("what it does for the foot");
const doNotUse = z.array(line(200)).min(1).max(10).describe("when not to use it");
const materials = z.array(line(40)).max(8);

/** An entry by the part of the foot's support it is. Sizes in mm, weight in grams. */
export const ownEntry = z
  .discriminatedUnion("part", [
    z
      .strictObject({
        part: z.literal("shoe"),
        name: line(80),
        materials,
        webMm: quantity(5, 60),
        thicknessMm: quantity(0, 80),
        heels: z.enum(["open", "bar", "oval"]),
        openToe: z.boolean().describe("left away in front of breakover"),
        frogPlate: z.boolean(),
        solid: z.enum(["no", "to breakover", "back two thirds"]).describe("the whole base bears"),
        setBackMm: quantity(0, 40).describe("how far behind the horn's toe it carries breakover"),
        weightGrams: z
          .strictObject({ low: quantity(1, 5000), high: quantity(1, 5000) })
          .refine((range) => range.low <= range.high, { message: "low must not exceed high" })
          .optional(),
        does,
        doNotUse,
      })
      .meta({ id: "OwnShoe" }),
    z
      .strictObject({
        part: z.literal("fill"),
        name: line(80),
        materials,
        covers: z.enum(["none", "frog", "back two thirds", "behind the tip"]),
        does,
        doNotUse,
      })
      .meta({ id: "OwnFill" }),
    z
      .strictObject({ part: z.literal("fixing"), name: line(80), does, doNotUse })
      .meta({ id: "OwnFixing" }),
  ])
  .meta({ id: "OwnEntry" });
export type OwnEntry = z.output<typeof ownEntry>;

export const ownDevice = z
  .object({
    id,
    entry: ownEntry,
    source: z.string().describe("where its sizes and cautions come from"),
    addedBy: personRef,
    addedAt: instant,
    retiredBy: personRef.nullable(),
    retiredAt: instant.nullable(),
    version,
  })
  .meta({ id: "OwnDevice" });
export type OwnDevice = z.infer<typeof ownDevice>;

const readers = ["vet", "farrier", "manager"] as const;

export const listOwnDevices = operation({
  id: "listOwnDevices",
  method: "GET",
  path: "/own-devices",
  tag: "catalogue",
  access: readers,
  status: 200,
  summary: "The practice's own shoes, fills and fixings, the retired ones too",
  response: z.object({ items: z.array(ownDevice) }),
});
export const addOwnDevice = operation({
  id: "addOwnDevice",
  method: "POST",
  path: "/own-devices",
  tag: "catalogue",
  access: ["vet", "farrier"],
  status: 201,
  summary: "Add a shoe, fill or fixing of the practice's own; generic names only",
  body: z.strictObject({ entry: ownEntry, source: prose(300) }),
  response: ownDevice,
});
export const retireOwnDevice = operation({
  id: "retireOwnDevice",
  method: "POST",
  path: "/own-devices/:deviceId/retirement",
  tag: "catalogue",
  access: ["vet", "farrier"],
  status: 200,
  ifMatch: true,
  summary: "Retire an entry: no new plan may name it; plans that do stay readable",
  params: z.strictObject({ deviceId: id }),
  body: z.strictObject({ reason: prose(300) }),
  response: ownDevice,
});

export const readPlannerFigures = operation({
  id: "readPlannerFigures",
  method: "GET",
  path: "/planner-figures",
  tag: "prescriptions",
  access: readers,
  status: 200,
  summary: "What the planner and the forecast go by today: the practice's own figures and devices",
  response: z.object({
    on: z.iso.date(),
    own: z
      .record(z.string(), z.number())
      .describe("own figures by key; a key that is absent has its standard value"),
    catalogue: json.describe("the practice's shoes, fills and fixings, retired ones marked"),
  }),
});
