import type { changeSetting, listSettings } from "@heelward/contracts";
import type { Finding } from "@heelward/domain/evidence";
import type { z } from "zod";
import { dayColumn } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { badField, Problem, ruleViolated } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import { practiceToday } from "../people/practice.ts";
import { ORDERED_PAIRS } from "./figure-notes.ts";
import { DETECTION_UNIT, FIGURES, MOST_DETECTION_HOURS, type Figure } from "./registry.ts";
import * as store from "./store.ts";
import { settingValue } from "./values.ts";

type Change = z.output<NonNullable<typeof changeSetting.body>>;
type View = z.input<typeof changeSetting.response>;

/** A figure with its history. What may be done to it is `fixed` where the rules would not follow. */
const view = (figure: Figure, own: readonly store.OwnValue[], on: string): View => {
  const inForce = own.findLast((row) => row.since <= on);
  return {
    key: figure.key,
    label: figure.label,
    unit: figure.unit,
    value: inForce?.value ?? figure.value,
    since: inForce?.since ?? figure.since,
    source:
      inForce === undefined
        ? figure.source
        : { id: "practice", citation: inForce.source, status: "house rule" },
    change:
      !figure.isApplied || (figure.change === "tighten" && figure.stricter === null)
        ? "fixed"
        : figure.change,
    stricter: figure.change === "tighten" ? figure.stricter : null,
    standard: figure.value,
    history: [
      {
        value: figure.value,
        since: figure.since,
        source: figure.source.citation,
        setBy: null,
      },
      ...own.map(({ value, since, source, setBy }) => ({ value, since, source, setBy })),
    ],
  };
};

/** Every figure with its own and its standard value. */
export const list = async (work: Work): Promise<z.input<typeof listSettings.response>> => {
  const on = await practiceToday(work);
  const own = await store.findAll(work.tx);
  return {
    items: [...FIGURES.values()].map((figure) =>
      view(
        figure,
        own.filter((row) => row.key === figure.key),
        on,
      ),
    ),
  };
};

const refuse = (figure: Figure, rule: string, detail: string): Problem => {
  const finding: Finding = {
    rule: `settings/${rule}@1`,
    outcome: "block",
    detail,
    source: figure.source,
    field: "/value",
  };
  return ruleViolated(detail, [finding]);
};

const WHOLE = new Set(["days", "count", "readings", "a day", "points of 12", "grade of 5"]);

/** A value this far from the standard is a slip of the finger. */
const MOST_TIMES = 10;
/** The same where the standard is zero. */
const MOST_FROM_ZERO = 20;

const assertPlausible = (figure: Figure, value: number): void => {
  if (figure.unit.startsWith("1 = checked")) {
    if (value !== 0 && value !== 1) throw badField("/value", "must be 1 (checked) or 0 (not)");
    return;
  }
  if (figure.unit === DETECTION_UNIT) {
    if (value < 0 || value > MOST_DETECTION_HOURS)
      throw badField("/value", `must lie between 0 (no figure) and ${MOST_DETECTION_HOURS} h`);
    return;
  }
  if (WHOLE.has(figure.unit) && !Number.isInteger(value))
    throw badField("/value", "must be a whole number");
  const [least, most] =
    figure.value === 0
      ? [-MOST_FROM_ZERO, MOST_FROM_ZERO]
      : [figure.value / MOST_TIMES, figure.value * MOST_TIMES];
  if (value < least || value > most)
    throw badField("/value", `must lie between ${least} and ${most} ${figure.unit}`);
};

const assertMayChange = (figure: Figure, value: number): void => {
  if (figure.change === "fixed")
    throw refuse(figure, "fixed", `${figure.label} is fixed; no practice may change it.`);
  if (!figure.isApplied)
    throw refuse(
      figure,
      "not-applied",
      `The rules go by the standard value of "${figure.label}"; another value would change nothing.`,
    );
  if (figure.change === "free") return;
  if (figure.stricter === null)
    throw refuse(
      figure,
      "no-direction",
      `It is not settled which way "${figure.label}" gets stricter, so it stays as it is.`,
    );
  const isLooser = figure.stricter === "lower" ? value > figure.value : value < figure.value;
  if (isLooser)
    throw refuse(
      figure,
      "tighten-only",
      `${figure.label} may only be made stricter: ${figure.stricter === "lower" ? "at most" : "at least"} ${figure.value} ${figure.unit}.`,
    );
};

const assertInOrder = async (work: Work, figure: Figure, input: Change): Promise<void> => {
  for (const [low, high] of ORDERED_PAIRS) {
    if (figure.key !== low && figure.key !== high) continue;
    const other = figure.key === low ? high : low;
    // A figure stands in two pairs at most.
    // oxlint-disable-next-line no-await-in-loop
    const beside = await settingValue(work, other, input.since);
    if (figure.key === low ? input.value > beside : input.value < beside)
      throw refuse(
        figure,
        "order",
        `${figure.label} must not be ${figure.key === low ? "above" : "below"} "${FIGURES.get(other)?.label ?? other}", ${beside} ${figure.unit}.`,
      );
  }
};

/** A practice's own value from a day on. The clinical lead signs for it; what was decided before keeps its limit. */
export const change = async (work: Work, input: Change): Promise<View> => {
  const { tx, actor, nowMs } = work;
  if (!actor.clinicalLead)
    throw new Problem("forbidden", "Only the clinical lead changes figures.", {
      requiredRoles: ["vet"],
    });
  const figure = FIGURES.get(input.key);
  if (figure === undefined) throw badField("/key", "is not a figure of the rules");
  const on = await practiceToday(work);
  if (input.since < on)
    throw badField("/since", "lies in the past; what was decided then keeps the limit it had");
  assertMayChange(figure, input.value);
  assertPlausible(figure, input.value);
  await assertInOrder(work, figure, input);
  const before = await settingValue(work, figure.key, input.since);
  const id = newId();
  await tx.practiceSetting.create({
    data: {
      practiceId: actor.practiceId,
      id,
      key: figure.key,
      value: input.value,
      source: input.source,
      since: dayColumn(input.since),
      setBy: actor.personId,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "setting.changed",
    subjectType: "setting",
    subjectId: id,
    horseId: null,
    payload: { ...input, before },
  });
  work.announce("settings");
  return view(
    figure,
    (await store.findAll(tx)).filter((row) => row.key === figure.key),
    on,
  );
};
