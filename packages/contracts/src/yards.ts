import { z } from "zod";
import { operation } from "./operation.ts";
import {
  clockTime,
  id,
  latitude,
  line,
  localDate,
  longitude,
  page,
  pageOf,
  personRef,
  phone,
  prose,
  version,
} from "./primitives.ts";

export const openingWindow = z
  .strictObject({
    weekday: z.int().min(1).max(7).describe("1 Monday … 7 Sunday"),
    opens: clockTime,
    closes: clockTime,
  })
  .refine((window) => window.opens < window.closes, {
    message: "must open before it closes",
    path: ["closes"],
  })
  .meta({ id: "OpeningWindow" });

const isZone = (zone: string) => {
  try {
    Intl.DateTimeFormat("en", { timeZone: zone });
    return true;
  } catch {
    return false;
  }
};
export const timeZone = z
  .string()
  .min(1)
  .max(60)
  .refine(isZone, { message: "use an IANA time zone such as Europe/Dublin" });

const yardFields = {
  name: line(120),
  address: line(300).nullable(),
  lat: latitude,
  lon: longitude,
  timeZone,
  phone: phone.nullable(),
  accessNotes: prose(2000).nullable(),
  surface: line(300).nullable(),
  signal: line(300).nullable(),
  weighing: line(60).nullable(),
  opening: z.array(openingWindow).max(28),
  closedOn: z.array(localDate).max(100),
};
export const yard = z
  .object({ id, ...yardFields, people: z.array(personRef), horseCount: z.int(), version })
  .meta({ id: "Yard" });
export type Yard = z.infer<typeof yard>;

const yardId = z.strictObject({ yardId: id });

export const listYards = operation({
  id: "listYards",
  method: "GET",
  path: "/yards",
  tag: "yards",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "Yards, by name",
  query: page.extend({ q: line(100).optional() }),
  response: pageOf(yard),
});
export const readYard = operation({
  id: "readYard",
  method: "GET",
  path: "/yards/:yardId",
  tag: "yards",
  access: ["vet", "farrier", "manager", "carer"],
  status: 200,
  summary: "One yard",
  params: yardId,
  response: yard,
});
export const addYard = operation({
  id: "addYard",
  method: "POST",
  path: "/yards",
  tag: "yards",
  access: ["vet", "manager"],
  status: 201,
  summary: "Add a yard",
  body: z.strictObject({
    name: yardFields.name,
    lat: yardFields.lat,
    lon: yardFields.lon,
    timeZone: yardFields.timeZone,
    address: yardFields.address.default(null),
    phone: yardFields.phone.default(null),
    accessNotes: yardFields.accessNotes.default(null),
    surface: yardFields.surface.default(null),
    signal: yardFields.signal.default(null),
    weighing: yardFields.weighing.default(null),
    opening: yardFields.opening.default([]),
    closedOn: yardFields.closedOn.default([]),
  }),
  response: yard,
});
export const changeYard = operation({
  id: "changeYard",
  method: "PATCH",
  path: "/yards/:yardId",
  tag: "yards",
  access: ["vet", "manager"],
  status: 200,
  ifMatch: true,
  summary: "Change a yard",
  params: yardId,
  body: z.strictObject(yardFields).partial(),
  response: yard,
});
export const setYardPeople = operation({
  id: "setYardPeople",
  method: "PUT",
  path: "/yards/:yardId/people",
  tag: "yards",
  access: ["manager"],
  status: 200,
  ifMatch: true,
  summary: "Say which carers and farriers belong to a yard",
  params: yardId,
  body: z.strictObject({ personIds: z.array(id).max(50) }),
  response: yard,
});
