import type { search } from "@heelward/contracts";
import type { z } from "zod";
import { hasRole } from "../../http/actor.ts";
import type { Work } from "../../http/work.ts";
import * as store from "./store.ts";

type Answer = z.input<typeof search.response>;
type Hit = Answer["items"][number];

const MOST_HITS = 20;

/** Letters without their accents, small: `Ó Briain` is found by `o briain`. */
const fold = (text: string): string =>
  text
    .normalize("NFD")
    .replaceAll(/[\u0300-\u036F]/g, "")
    .toLowerCase();

/** What was typed, as the finders need it. */
const readQuestion = (typed: string): store.Question => {
  const text = fold(typed);
  const digits = text.replaceAll(/[\s.-]/g, "");
  return {
    text,
    words: text.split(/\s+/u).slice(0, 8),
    number: /^[a-z0-9]{5,15}$/.test(digits) ? digits : null,
    caseNumber: /^(?:case|no\.?)?\s*#?\s*\d{1,9}$/.test(text)
      ? Number(text.replaceAll(/\D/g, ""))
      : null,
  };
};

const HREF = {
  horse: (row: store.Found) => `/horses/${row.id}`,
  yard: (row: store.Found) => `/yards/${row.id}`,
  person: () => "/people",
  case: (row: store.Found) => `/cases/${row.id}`,
} as const;

/** In an equal rank a horse is what most people look for, then its case. */
const ORDER = ["horse", "case", "yard", "person"] as const;

/**
 * Horses, cases, yards and people that hold every word typed, the nearest first, at most 20. Each
 * finder works under the caller's own rights: what is not theirs to see is not found.
 */
export const find = async ({ tx, actor }: Work, typed: string): Promise<Answer> => {
  const question = readQuestion(typed);
  const seesEverybody = hasRole(actor, "vet", "manager");
  // One transaction has one connection: the finders take turns.
  const horses = await store.findHorses(tx, question, MOST_HITS);
  const cases = await store.findCases(tx, question, MOST_HITS);
  const yards = await store.findYards(tx, question, MOST_HITS);
  const people = await store.findPeople(tx, question, seesEverybody, MOST_HITS);
  const hits = { horse: horses, case: cases, yard: yards, person: people };
  const ranked = ORDER.flatMap((kind, place) =>
    hits[kind].map((row) => ({
      rank: row.rank,
      place,
      hit: {
        kind,
        id: row.id,
        title: row.title,
        detail: row.detail,
        href: HREF[kind](row),
      } satisfies Hit,
    })),
  ).toSorted(
    (a, b) =>
      a.rank - b.rank ||
      a.place - b.place ||
      a.hit.title.localeCompare(b.hit.title, "en") ||
      (a.hit.id < b.hit.id ? -1 : 1),
  );
  return { items: ranked.slice(0, MOST_HITS).map(({ hit }) => hit) };
};
