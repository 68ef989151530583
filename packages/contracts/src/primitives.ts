import { ROLES } from "@heelward/domain/access";
import { z } from "zod";

/** Control characters, except tab and line breaks, never belong in a record. */
const CONTROL = /[^\P{Cc}\t\n\r\u0080-\u009F]|[\uFFFE\uFFFF]/u;

/** Half of a surrogate pair: no encoding can store it. */
const LONE_SURROGATE = /\p{Surrogate}/u;

const clean = (schema: z.ZodString) =>
  schema.normalize("NFC").refine((value) => !CONTROL.test(value) && !LONE_SURROGATE.test(value), {
    message: "contains characters that cannot be stored",
  });

/** A short line of text: trimmed, normalised, at least one character. */
export const line = (maxLength = 200) => clean(z.string().trim().min(1).max(maxLength));
/** A longer text; line breaks allowed. */
export const prose = (maxLength = 4000) => clean(z.string().trim().min(1).max(maxLength));

export const id = z.uuid();
export const localDate = z.iso.date().describe("calendar day, YYYY-MM-DD");
export const instant = z.iso
  .datetime({ offset: true })
  .describe("instant with offset, such as 2026-10-14T07:10:00+01:00");
export const clockTime = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/)
  .describe("local clock time, HH:MM");
export const email = clean(z.string().trim().toLowerCase().max(254)).pipe(z.email());
export const phone = clean(z.string().trim().min(3).max(40)).refine(
  (value) => /^[+\d][\d ()/-]*$/.test(value),
  { message: "use digits, spaces and + only" },
);
export const role = z.enum(ROLES);
export const foot = z.enum(["LF", "RF", "LH", "RH"]);
export const latitude = z.number().min(-90).max(90);
export const longitude = z.number().min(-180).max(180);
export const version = z.int().min(1);

/** A finite number in a range, with its unit said in the field's name. */
export const quantity = (min: number, max: number) => z.number().min(min).max(max);

/** Free-form JSON kept as it came; only used where the domain defines the shape. */
export const json = z.json();

export const page = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  cursor: z.string().max(400).optional(),
});

/** A page of items with the cursor of the next. */
export const pageOf = <T extends z.ZodType>(item: T) =>
  z.object({ items: z.array(item), nextCursor: z.string().nullable() });

export const nothing = z.null().or(z.undefined());

/** Who did something, as shown beside a record. */
export const personRef = z.object({ id, name: z.string() }).meta({ id: "PersonRef" });
export type PersonRef = z.infer<typeof personRef>;

export const source = z
  .object({ id: z.string(), citation: z.string(), status: z.string(), url: z.string().optional() })
  .meta({ id: "Source" });

/** What one rule said, with the figures and the source that decided it. */
export const finding = z
  .object({
    rule: z.string(),
    outcome: z.enum(["pass", "note", "warn", "block"]),
    detail: z.string(),
    source,
    field: z.string().optional(),
  })
  .meta({ id: "Finding" });
export type FindingView = z.infer<typeof finding>;

/** The written reason for going against a warning. */
export const override = z
  .strictObject({ rule: line(200), reason: prose(1000) })
  .meta({ id: "Override" });

export const ifMatchVersion = z.strictObject({});
