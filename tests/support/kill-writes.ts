import { randomUUID } from "node:crypto";
import sharp from "sharp";
import type { TrialPractice } from "./kill-practice.ts";

/** Kinds of writes. */
export type Kind = "note" | "photo" | "film" | "dose" | "as done";
/** One write: what is sent, under which key, and the words by which its row is found. */
export interface Write {
  readonly kind: Kind;
  readonly key: string;
  readonly mark: string;
  readonly path: string;
  readonly as: "vet" | "farrier";
  readonly body?: Readonly<Record<string, unknown>>;
  readonly upload?: { readonly bytes: Buffer; readonly fields: Readonly<Record<string, string>> };
}
/** A write with what was answered. */
export interface Acknowledged {
  readonly write: Write;
  readonly id: string;
  readonly text: string;
}

/** Where a kind of write ends up, and the column that holds its mark. */
export const PLACES: Readonly<Record<Kind, { readonly table: string; readonly mark: string }>> = {
  note: { table: "handoff_notes", mark: "situation" },
  photo: { table: "documents", mark: "caption" },
  film: { table: "radiographs", mark: "file_name" },
  dose: { table: "dose_records", mark: "reason" },
  "as done": { table: "shoeing_records", mark: "notes" },
};

/** A picture like no other: grey noise of its own. */
const picture = (sidePx: number): Promise<Buffer> =>
  sharp({
    create: {
      width: sidePx,
      height: sidePx,
      channels: 3,
      background: "#808080",
      noise: { type: "gaussian", mean: 128, sigma: 30 },
    },
  })
    .png()
    .toBuffer();

/** Of twenty writes: what a working day is made of, with more uploads than one has. */
const DAY: readonly Kind[] = [
  ...Array<Kind>(6).fill("note"),
  ...Array<Kind>(4).fill("photo"),
  ...Array<Kind>(2).fill("film"),
  ...Array<Kind>(4).fill("dose"),
  ...Array<Kind>(4).fill("as done"),
];

/** What a hand writes next. */
export const nextWrite = async (
  { horses, farrierId }: TrialPractice,
  hand: number,
  number: number,
): Promise<Write> => {
  const kind = DAY[(number * 7 + hand) % DAY.length] ?? "note";
  const horse = horses[hand % horses.length];
  if (horse === undefined) throw new Error("no horse");
  const key = randomUUID();
  const mark = `mark ${key}`;
  const at = new Date(Date.now() - 60_000).toISOString();
  const common = { kind, key, mark, as: "vet" } as const;
  if (kind === "note")
    return {
      ...common,
      path: "/handoff-notes",
      body: { horseId: horse.id, toRole: "farrier", situation: mark, mustDo: "Ring me." },
    };
  if (kind === "dose")
    return {
      ...common,
      path: `/horses/${horse.id}/doses`,
      // Inside the horse already, so that the limit of the day does not end the trial.
      body: {
        drugKey: "phenylbutazone",
        presentationKey: "phenylbutazone-powder-1g",
        route: "oral",
        doseMg: 1000,
        givenAt: at,
        reason: mark,
        alreadyGiven: true,
      },
    };
  if (kind === "as done")
    return {
      ...common,
      as: "farrier",
      path: `/horses/${horse.id}/shoeing-records`,
      body: {
        doneAt: at,
        asPlanned: true,
        feet: [{ foot: "LF", breakoverAfterMm: 6, heelRemovedMm: 2, shoe: "bare", fixing: "none" }],
        notes: mark,
        nextReset: { noDateReason: "The yard will ring.", personToBook: farrierId },
      },
    };
  if (kind === "photo")
    return {
      ...common,
      path: `/horses/${horse.id}/documents`,
      upload: { bytes: await picture(96), fields: { kind: "photo", takenAt: at, caption: mark } },
    };
  return {
    ...common,
    path: `/cases/${horse.caseId}/radiographs`,
    upload: { bytes: await picture(160), fields: { foot: "LF", takenAt: at } },
  };
};
