import type { readFormulary } from "@heelward/contracts";
import {
  FORMULARY_EDITION,
  formularyFor,
  unverifiedFigures,
  type Jurisdiction,
} from "@heelward/domain/medication";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import type { Work } from "../../http/work.ts";
import { readPractice } from "../people/practice.ts";
import { jurisdictionOf } from "./context.ts";
import { medicationSettings } from "./settings.ts";
import { findSettings } from "./store.ts";

/** Medicines of the practice's country, with every figure's source and what is not yet confirmed. */
export const read = async (work: Work): Promise<z.input<typeof readFormulary.response>> => {
  const practice = await readPractice(work);
  const jurisdiction: Jurisdiction = jurisdictionOf(practice.jurisdiction);
  const settings = medicationSettings(
    await findSettings(work.tx, localDateOf(work.nowMs, practice.timeZone)),
  );
  return {
    jurisdiction,
    edition: { ...FORMULARY_EDITION },
    drugs: JSON.parse(JSON.stringify(formularyFor(jurisdiction))) as [],
    unverified: unverifiedFigures(settings.confirmedFigures).map((one) => ({
      id: one.id,
      value: one.value,
      unit: one.unit,
      source: one.source,
    })),
  };
};
