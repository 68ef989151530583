import { z } from "zod";
import { operation } from "./operation.ts";
import {
  id,
  instant,
  line,
  localDate,
  page,
  pageOf,
  personRef,
  prose,
  quantity,
  version,
} from "./primitives.ts";

export const horseType = z.enum(["horse", "pony", "donkey"]);
export const foodChain = z.enum(["excluded", "not excluded", "passport not seen"]);
export const weighMethod = z.enum(["scale", "tape", "formula", "estimate"]);

export const weighing = z
  .object({
    id,
    horseId: id,
    weighedAt: instant,
    weightKg: z.number(),
    lowKg: z.number(),
    highKg: z.number(),
    method: weighMethod,
    girthCm: z.number().nullable(),
    lengthCm: z.number().nullable(),
    weighedBy: personRef,
    note: z.string().nullable(),
    ageDays: z.number().int().describe("whole days since the weighing"),
  })
  .meta({ id: "Weighing" });
export type Weighing = z.infer<typeof weighing>;

const editable = {
  name: line(80),
  type: horseType,
  breed: line(80).nullable(),
  sex: z.enum(["mare", "gelding", "stallion"]),
  bornOn: localDate.nullable(),
  heightCm: quantity(40, 220).nullable(),
  yardId: id,
  farrierId: id.nullable(),
  ueln: z
    .string()
    .max(40)
    .nullable()
    .describe("15 characters; spaces, dots and dashes are removed"),
  microchip: z.string().max(30).nullable().describe("ISO 11784, 15 digits"),
  pregnant: z.boolean(),
  lactating: z.boolean(),
  conditions: z.array(line(80)).max(30),
  feet: line(200).nullable(),
  resetIntervalDays: z.int().min(7).max(56).nullable(),
  breakoverLimitMm: quantity(0, 60).nullable(),
  growthMmPer30d: quantity(1, 20).nullable(),
  wearFraction: quantity(0, 1).nullable().describe("share of growth not worn away; 1 when shod"),
  wallAngleDegrees: quantity(30, 75).nullable(),
  status: z.enum(["active", "away", "sold", "died"]),
};

export const horse = z
  .object({
    id,
    ...editable,
    heightCm: z.number().nullable(),
    foodChain,
    passportSeenOn: localDate.nullable(),
    yard: z.object({ id, name: z.string(), timeZone: z.string() }),
    farrier: personRef.nullable(),
    owners: z.array(personRef),
    latestWeighing: weighing.nullable(),
    openCaseId: id.nullable(),
    identityNotes: z.array(z.string()).describe("what is odd about the chip or number, in words"),
    version,
  })
  .meta({ id: "Horse" });
export type Horse = z.infer<typeof horse>;

export const horseItem = z
  .object({
    id,
    name: z.string(),
    type: horseType,
    breed: z.string().nullable(),
    yard: z.object({ id, name: z.string() }),
    farrier: personRef.nullable(),
    owners: z.array(personRef),
    openCaseId: id.nullable(),
    phase: z.string().nullable(),
    status: z.string(),
  })
  .meta({ id: "HorseItem" });
export type HorseItem = z.infer<typeof horseItem>;

const horseId = z.strictObject({ horseId: id });

export const listHorses = operation({
  id: "listHorses",
  method: "GET",
  path: "/horses",
  tag: "horses",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "Horses, by name; search by horse, owner, yard, number or chip",
  query: page.extend({
    q: line(100).optional(),
    yardId: id.optional(),
    status: z.enum(["active", "away", "sold", "died"]).optional(),
    sort: z.enum(["name", "-name", "yard"]).default("name"),
  }),
  response: pageOf(horseItem),
});
export const readHorse = operation({
  id: "readHorse",
  method: "GET",
  path: "/horses/:horseId",
  tag: "horses",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "One horse",
  params: horseId,
  response: horse,
});
export const addHorse = operation({
  id: "addHorse",
  method: "POST",
  path: "/horses",
  tag: "horses",
  access: ["vet", "manager"],
  status: 201,
  summary: "Add a horse",
  body: z.strictObject({
    name: editable.name,
    type: editable.type,
    sex: editable.sex,
    yardId: editable.yardId,
    breed: editable.breed.default(null),
    bornOn: editable.bornOn.default(null),
    heightCm: editable.heightCm.default(null),
    farrierId: editable.farrierId.default(null),
    ueln: editable.ueln.default(null),
    microchip: editable.microchip.default(null),
    pregnant: z.boolean().default(false),
    lactating: z.boolean().default(false),
    conditions: editable.conditions.default([]),
    feet: editable.feet.default(null),
    resetIntervalDays: editable.resetIntervalDays.default(null),
    breakoverLimitMm: editable.breakoverLimitMm.default(null),
    growthMmPer30d: editable.growthMmPer30d.default(null),
    wearFraction: editable.wearFraction.default(null),
    wallAngleDegrees: editable.wallAngleDegrees.default(null),
    ownerIds: z.array(id).max(10).default([]),
  }),
  response: horse,
});
export const changeHorse = operation({
  id: "changeHorse",
  method: "PATCH",
  path: "/horses/:horseId",
  tag: "horses",
  access: ["vet", "manager"],
  status: 200,
  ifMatch: true,
  summary: "Change a horse",
  params: horseId,
  body: z.strictObject(editable).partial(),
  response: horse,
});
export const setHorseOwners = operation({
  id: "setHorseOwners",
  method: "PUT",
  path: "/horses/:horseId/owners",
  tag: "horses",
  access: ["manager"],
  status: 200,
  ifMatch: true,
  summary: "Say who owns a horse",
  params: horseId,
  body: z.strictObject({ personIds: z.array(id).max(10) }),
  response: horse,
});
export const recordPassport = operation({
  id: "recordPassport",
  method: "POST",
  path: "/horses/:horseId/passport",
  tag: "horses",
  access: ["vet"],
  status: 200,
  ifMatch: true,
  summary: "Record that a vet has seen the passport and what it says about the food chain",
  params: horseId,
  body: z.strictObject({ foodChain: z.enum(["excluded", "not excluded"]), seenOn: localDate }),
  response: horse,
});

export const listWeighings = operation({
  id: "listWeighings",
  method: "GET",
  path: "/horses/:horseId/weighings",
  tag: "horses",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "Weighings, latest first",
  params: horseId,
  query: page,
  response: pageOf(weighing),
});
export const weighHorse = operation({
  id: "weighHorse",
  method: "POST",
  path: "/horses/:horseId/weighings",
  tag: "horses",
  access: ["vet", "manager", "carer"],
  status: 201,
  summary: "Record a weighing; every open course is checked against it at once",
  params: horseId,
  body: z
    .strictObject({
      method: weighMethod,
      weightKg: quantity(20, 1500).optional().describe("not for the formula method"),
      girthCm: quantity(50, 300).optional(),
      lengthCm: quantity(50, 300).optional().describe("point of shoulder to point of buttock"),
      weighedAt: instant,
      note: prose(500).optional(),
    })
    .superRefine((input, context) => {
      if (input.method === "formula") {
        for (const field of ["girthCm", "lengthCm"] as const)
          if (input[field] === undefined)
            context.addIssue({
              code: "custom",
              path: [field],
              message: "is needed for the formula",
            });
      } else if (input.weightKg === undefined)
        context.addIssue({
          code: "custom",
          path: ["weightKg"],
          message: "is needed unless the formula is used",
        });
    }),
  response: weighing.extend({
    changePercent: z.number().nullable().describe("against the weighing before"),
    heldCourseIds: z.array(id),
    messages: z.array(z.string()),
  }),
});
