import { drugOf, presentationOf } from "@heelward/domain/medication";
import { addDays, dayText, startOfDay } from "@heelward/domain/time";
import { badField, notFound } from "../../../http/problem.ts";
import type { Bytes } from "../../../http/route.ts";
import type { Work } from "../../../http/work.ts";
import { readPractice } from "../../people/practice.ts";
import { csvOf } from "../../radiographs/export/measurements-csv.ts";
import { localTimeText, momentText } from "../local-time.ts";
import { findIdentity, findOtherMedicines, type IdentityRow } from "../record-store.ts";
import * as store from "../store.ts";
import { drugName, measureOf } from "../views.ts";
import { taggedPage } from "./tagged-page.ts";

interface Period {
  readonly from?: string | undefined;
  readonly to?: string | undefined;
}

/** One medicine that went in, or was meant to. */
interface Line {
  readonly atMs: number;
  readonly product: string;
  readonly dose: string;
  readonly doseMg: number | null;
  readonly route: string;
  readonly outcome: string;
  readonly who: string;
  readonly batch: string | null;
  readonly reason: string | null;
  readonly courseId: string | null;
}

interface MedicineRecord {
  readonly identity: IdentityRow;
  readonly timeZone: string;
  readonly lines: readonly Line[];
}

const productOf = (drugKey: string, presentationKey: string | null): string => {
  const drug = drugOf(drugKey);
  const presentation =
    drug === undefined || presentationKey === null
      ? undefined
      : presentationOf(drug, presentationKey);
  return presentation === undefined
    ? drugName(drugKey)
    : `${drugName(drugKey)}, ${presentation.name}`;
};

/** Everything given to one horse in a period, oldest first, formulary or not. */
const load = async (work: Work, horseId: string, period: Period): Promise<MedicineRecord> => {
  if (period.from !== undefined && period.to !== undefined && period.to < period.from)
    throw badField("/to", "lies before the first day");
  const [horse] = await store.findHorses(work.tx, { ids: [horseId] });
  const identity = await findIdentity(work.tx, horseId);
  if (horse === undefined || identity === undefined) throw notFound("horse");
  const { timeZone } = horse;
  const sinceMs = period.from === undefined ? undefined : startOfDay(period.from, timeZone);
  const untilMs = period.to === undefined ? undefined : startOfDay(addDays(period.to, 1), timeZone);
  const doses = await store.findDoses(work.tx, { horseIds: [horseId], sinceMs, untilMs });
  const others = (await findOtherMedicines(work.tx, { horseId })).filter(
    ({ givenAt }) =>
      givenAt.getTime() >= (sinceMs ?? Number.NEGATIVE_INFINITY) &&
      givenAt.getTime() < (untilMs ?? Number.POSITIVE_INFINITY),
  );
  const lines = [
    ...doses.map((dose): Line => ({
      atMs: dose.givenAt.getTime(),
      product: productOf(dose.drugKey, dose.presentationKey),
      dose: measureOf(dose.drugKey, dose.presentationKey, dose.doseMg),
      doseMg: dose.doseMg,
      route: dose.route,
      outcome: dose.outcome,
      who: dose.givenBy.name,
      batch: dose.batch,
      reason: dose.reason,
      courseId: dose.courseId,
    })),
    ...others.map((row): Line => ({
      atMs: row.givenAt.getTime(),
      product: `${row.name} (${row.class})`,
      dose: row.amount ?? "",
      doseMg: null,
      route: row.route,
      outcome: "given",
      who: row.givenBy,
      batch: row.batch,
      reason: row.reason,
      courseId: null,
    })),
  ].toSorted((a, b) => a.atMs - b.atMs);
  return { identity, timeZone, lines };
};

const periodText = ({ from, to }: Period): string =>
  `${from === undefined ? "the first entry" : dayText(from)} to ${to === undefined ? "today" : dayText(to)}`;

const HEADINGS = [
  "horse",
  "UELN",
  "microchip",
  "given at",
  "local time",
  "product",
  "dose",
  "dose mg",
  "route",
  "outcome",
  "given by",
  "batch",
  "reason",
  "course id",
] as const;

/** The record as a table; no cell can be taken for a formula. */
export const medicineRecordCsv = async (
  work: Work,
  horseId: string,
  period: Period,
): Promise<Bytes> => {
  const { identity, timeZone, lines } = await load(work, horseId, period);
  return {
    bytes: new TextEncoder().encode(
      csvOf([
        HEADINGS,
        ...lines.map((line) => [
          identity.name,
          identity.ueln,
          identity.microchip,
          new Date(line.atMs).toISOString(),
          localTimeText(line.atMs, timeZone),
          line.product,
          line.dose,
          line.doseMg,
          line.route,
          line.outcome,
          line.who,
          line.batch,
          line.reason,
          line.courseId,
        ]),
      ]),
    ),
    mediaType: "text/csv; charset=utf-8",
    fileName: `${identity.name.toLowerCase().replaceAll(/[^a-z\d]+/gu, "-")}-medicines.csv`,
  };
};

/** The record to print: who the animal is, its standing in the food chain, and each medicine. */
export const medicineRecordPdf = async (
  work: Work,
  horseId: string,
  period: Period,
): Promise<Bytes> => {
  const { identity, timeZone, lines } = await load(work, horseId, period);
  const practice = await readPractice(work);
  const title = `Medicine record: ${identity.name}`;
  return {
    bytes: await taggedPage({ title, author: practice.name, madeAtMs: work.nowMs }, [
      { kind: "title", text: title },
      {
        kind: "text",
        text: `${practice.name}. Period: ${periodText(period)}. Printed ${momentText(work.nowMs, timeZone)}.`,
      },
      { kind: "pair", label: "Animal", text: identityText(identity) },
      { kind: "pair", label: "Food chain", text: foodChainText(identity) },
      lines.length === 0
        ? { kind: "text", text: "Nothing was given in this period." }
        : {
            kind: "table",
            table: {
              headings: ["When", "Product", "Dose and route", "Outcome", "Who", "Batch", "Reason"],
              shares: [13, 22, 17, 9, 13, 11, 15],
              rows: lines.map((line) => [
                localTimeText(line.atMs, timeZone),
                line.product,
                [line.dose, line.route].filter((part) => part !== "").join(", "),
                line.outcome,
                line.who,
                line.batch ?? "",
                line.reason ?? "",
              ]),
            },
          },
      {
        kind: "caution",
        text: "A record of what people wrote down. Spat out counts in full towards every limit.",
      },
    ]),
    mediaType: "application/pdf",
    fileName: `${identity.name.toLowerCase().replaceAll(/[^a-z\d]+/gu, "-")}-medicines.pdf`,
  };
};

/** Who the animal is, in one line. */
export const identityText = (identity: IdentityRow): string =>
  [
    identity.name,
    identity.sex,
    ...(identity.bornOn === null ? [] : [`born ${dayText(identity.bornOn)}`]),
    ...(identity.ueln === null ? [] : [`UELN ${identity.ueln}`]),
    ...(identity.microchip === null ? [] : [`microchip ${identity.microchip}`]),
  ].join(", ");

/** What the passport says about eating the animal. */
export const foodChainText = ({ foodChain, passportSeenOn }: IdentityRow): string => {
  const seen = passportSeenOn === null ? "" : ` (passport seen ${dayText(passportSeenOn)})`;
  return foodChain === "excluded"
    ? `Excluded from the food chain for good${seen}; no withdrawal time applies.`
    : foodChain === "not excluded"
      ? `Not excluded from the food chain${seen}: treat as an animal that may be eaten.`
      : "Passport not seen: treat as an animal that may be eaten until a vet has seen it.";
};
