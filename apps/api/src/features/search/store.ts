import { Prisma, type Transaction } from "../../database/client.ts";

/** What somebody looks for. All text is folded: small letters without accents. */
export interface Question {
  readonly text: string;
  readonly words: readonly string[];
  /** A passport or chip number without its separators, when it can be one. */
  readonly number: string | null;
  readonly caseNumber: number | null;
}

export interface Found {
  readonly id: string;
  readonly title: string;
  readonly detail: string;
  /** 0 the very name, 1 its beginning, 2 the beginning of a word in it, 3 elsewhere. */
  readonly rank: number;
}

/** The same folding as the question's, for what is stored. */
const folded = (text: Prisma.Sql): Prisma.Sql =>
  Prisma.sql`lower(regexp_replace(normalize(${text}, NFD), '[\\u0300-\\u036F]', '', 'g'))`;

/** `%`, `_` and `\` as plain characters. */
const literal = (text: string): string => text.replaceAll(/[\\%_]/g, "\\$&");

const holdsEveryWord = (hay: Prisma.Sql, { words }: Question): Prisma.Sql =>
  Prisma.join(
    words.map((word) => Prisma.sql`${folded(hay)} LIKE ${`%${literal(word)}%`}`),
    " AND ",
  );

const rankOf = (name: Prisma.Sql, { text }: Question): Prisma.Sql => Prisma.sql`CASE
  WHEN ${folded(name)} = ${text} THEN 0
  WHEN ${folded(name)} LIKE ${`${literal(text)}%`} THEN 1
  WHEN ${folded(name)} LIKE ${`% ${literal(text)}%`} THEN 2
  ELSE 3 END`;

const holdsNumber = ({ number }: Question): Prisma.Sql =>
  number === null
    ? Prisma.sql`false`
    : Prisma.sql`(lower(h.microchip) LIKE ${`${literal(number)}%`} OR lower(h.ueln) LIKE ${`${literal(number)}%`})`;

/** Horses by name, breed, yard, owner, passport number or chip. */
export const findHorses = (tx: Transaction, question: Question, limit: number) =>
  tx.$queryRaw<Found[]>`
  SELECT h.id, h.name AS title, concat_ws(', ', h.breed, h.type, h.sex, y.name, CASE WHEN h.status <> 'active' THEN h.status END) AS detail,
    CASE WHEN ${holdsNumber(question)} THEN 0 ELSE ${rankOf(Prisma.sql`h.name`, question)} END AS rank
  FROM horses h JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  WHERE ${holdsNumber(question)} OR (${holdsEveryWord(
    Prisma.sql`concat_ws(' ', h.name, h.breed, y.name, (SELECT string_agg(o.name, ' ') FROM horse_people hp
      JOIN people o ON o.practice_id = hp.practice_id AND o.id = hp.person_id WHERE hp.practice_id = h.practice_id AND hp.horse_id = h.id))`,
    question,
  )}) ORDER BY rank, lower(h.name), h.id LIMIT ${limit}`;

/** Cases by number, horse or cause. */
export const findCases = (tx: Transaction, question: Question, limit: number) =>
  tx.$queryRaw<Found[]>`
  SELECT c.id, h.name || ', case ' || c.number AS title, concat_ws(', ', c.phase, c.cause, y.name) AS detail,
    CASE WHEN c.number = ${question.caseNumber}::int THEN 0 ELSE ${rankOf(Prisma.sql`h.name`, question)} END AS rank
  FROM cases c JOIN horses h ON h.practice_id = c.practice_id AND h.id = c.horse_id
  JOIN yards y ON y.practice_id = h.practice_id AND y.id = h.yard_id
  WHERE c.number = ${question.caseNumber}::int OR (${holdsEveryWord(Prisma.sql`concat_ws(' ', h.name, c.cause, 'case ' || c.number, y.name)`, question)})
  ORDER BY rank, c.opened_at DESC, c.id LIMIT ${limit}`;

/** Yards by name or address. */
export const findYards = (tx: Transaction, question: Question, limit: number) =>
  tx.$queryRaw<Found[]>`
  SELECT y.id, y.name AS title, coalesce(y.address, '') AS detail, ${rankOf(Prisma.sql`y.name`, question)} AS rank
  FROM yards y WHERE ${holdsEveryWord(Prisma.sql`concat_ws(' ', y.name, y.address)`, question)}
  ORDER BY rank, lower(y.name), y.id LIMIT ${limit}`;

/** People by name, and by e-mail or phone for those who may see everybody; others find colleagues and the owners of horses they see. */
export const findPeople = (
  tx: Transaction,
  question: Question,
  seesEverybody: boolean,
  limit: number,
) => tx.$queryRaw<Found[]>`
  SELECT p.id, p.name AS title, concat_ws(', ', array_to_string(p.roles, ', '), (SELECT 'owner of ' || string_agg(h.name, ', ' ORDER BY h.name) FROM horse_people hp
      JOIN horses h ON h.practice_id = hp.practice_id AND h.id = hp.horse_id WHERE hp.practice_id = p.practice_id AND hp.person_id = p.id)) AS detail,
    ${rankOf(Prisma.sql`p.name`, question)} AS rank
  FROM people p WHERE p.status = 'active'
    AND (${seesEverybody} OR p.roles && ARRAY['vet', 'farrier', 'manager', 'carer'] OR EXISTS (SELECT 1 FROM horse_people hp
      JOIN horses h ON h.practice_id = hp.practice_id AND h.id = hp.horse_id WHERE hp.practice_id = p.practice_id AND hp.person_id = p.id))
    AND ${holdsEveryWord(seesEverybody ? Prisma.sql`concat_ws(' ', p.name, p.email, p.phone)` : Prisma.sql`p.name`, question)}
  ORDER BY rank, lower(p.name), p.id LIMIT ${limit}`;
