import type { addOwnDevice, OwnDevice } from "@heelward/contracts";
import type { Source } from "@heelward/domain/evidence";
import {
  FILL_CATALOGUE,
  FIXING_CATALOGUE,
  SHOE_CATALOGUE,
  type OwnCatalogue,
} from "@heelward/domain/trim";
import type { z } from "zod";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, notFound, Problem } from "../../http/problem.ts";
import { assertVersion } from "../../http/version.ts";
import type { Work } from "../../http/work.ts";
import * as store from "./store.ts";

type NewEntry = z.output<NonNullable<typeof addOwnDevice.body>>;

const view = (row: store.OwnDeviceRow): OwnDevice => ({
  ...row,
  addedAt: row.addedAt.toISOString(),
  retiredAt: isoOrNull(row.retiredAt),
});

const read = async ({ tx }: Work, id: string): Promise<OwnDevice> => {
  const [row] = await store.findOwnDevices(tx, { id });
  if (row === undefined) throw notFound("entry");
  return view(row);
};

export const list = async ({ tx }: Work) => ({
  items: (await store.findOwnDevices(tx)).map(view),
});

const sourceOf = (device: store.OwnDeviceRow): Source => ({
  id: `practice/${device.id}`,
  citation: device.source,
  status: "house rule",
});

/** What the planner looks up beside the generic catalogue, retired entries too: old plans name them. */
export interface PracticeCatalogue extends OwnCatalogue {
  readonly retiredIds: readonly string[];
}

/** The practice's entries in the form the planner works with. */
export const practiceCatalogue = async ({ tx }: Work): Promise<PracticeCatalogue> => {
  const rows = await store.findOwnDevices(tx);
  return {
    retiredIds: rows.filter((row) => row.retiredAt !== null).map((row) => row.id),
    shoes: rows.flatMap((row) => {
      const { entry, id } = row;
      if (entry.part !== "shoe") return [];
      const source = sourceOf(row);
      return [
        {
          id,
          name: entry.name,
          materials: entry.materials,
          footprint: {
            webMm: entry.webMm,
            heels: entry.heels,
            openToe: entry.openToe,
            frogPlate: entry.frogPlate,
            solid: entry.solid,
          },
          thicknessMm: entry.thicknessMm,
          ...(entry.weightGrams === undefined
            ? {}
            : { weightGrams: { ...entry.weightGrams, source } }),
          setBackMm: entry.setBackMm,
          does: entry.does,
          doNotUse: entry.doNotUse,
          source,
          dimensionsSource: source,
        },
      ];
    }),
    fills: rows.flatMap(({ entry, ...row }) =>
      entry.part === "fill" ? [{ ...entry, id: row.id, source: sourceOf({ entry, ...row }) }] : [],
    ),
    fixings: rows.flatMap(({ entry, ...row }) =>
      entry.part === "fixing"
        ? [{ ...entry, id: row.id, source: sourceOf({ entry, ...row }) }]
        : [],
    ),
  };
};

const GENERIC = {
  shoe: SHOE_CATALOGUE,
  fill: FILL_CATALOGUE,
  fixing: FIXING_CATALOGUE,
} as const;

/** Adds an entry. Signed plans will name it, so it never changes; retire it and add another. */
export const add = async (work: Work, input: NewEntry): Promise<OwnDevice> => {
  const { tx, actor, nowMs } = work;
  const { part, name } = input.entry;
  const isGeneric = GENERIC[part].some((one) => one.name.toLowerCase() === name.toLowerCase());
  if (isGeneric || (await store.isNameInUse(tx, part, name)))
    throw badField("/entry/name", "is the name of another entry");
  const id = newId();
  await tx.ownDevice.create({
    data: {
      practiceId: actor.practiceId,
      id,
      part,
      name,
      entry: JSON.parse(JSON.stringify(input.entry)) as object,
      source: input.source,
      addedBy: actor.personId,
      addedAt: new Date(nowMs),
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "catalogue.added",
    subjectType: "own device",
    subjectId: id,
    horseId: null,
    payload: input,
  });
  work.announce("catalogue");
  return read(work, id);
};

/** Takes an entry out of use. Plans that name it stay readable. */
export const retire = async (
  work: Work,
  id: string,
  seen: number,
  reason: string,
): Promise<OwnDevice> => {
  const { tx, actor, nowMs } = work;
  const version = await store.lockOwnDevice(tx, id);
  if (version === null) throw notFound("entry");
  assertVersion(seen, version);
  const row = await read(work, id);
  if (row.retiredAt !== null)
    throw new Problem("conflict", "This entry is retired already.", { recordId: id });
  await tx.ownDevice.updateMany({
    where: { id },
    data: { retiredBy: actor.personId, retiredAt: new Date(nowMs), version: seen + 1 },
  });
  work.audit({
    event: "catalogue.retired",
    subjectType: "own device",
    subjectId: id,
    horseId: null,
    payload: { reason },
  });
  work.announce("catalogue");
  return read(work, id);
};
