import type { proposeTrim as contract } from "@heelward/contracts";
import { intervalCeilingDays } from "@heelward/domain/cycle";
import {
  checkTrimMeasures,
  planOutline,
  proposeTrim,
  trimMeasuresOfFilm,
  type TrimInput,
} from "@heelward/domain/trim";
import { localDateOf } from "@heelward/domain/time";
import type { z } from "zod";
import { defined } from "../../http/defined.ts";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as horses from "../horses/service.ts";
import * as radiographs from "../radiographs/service.ts";
import { assertCatalogue } from "./catalogue.ts";
import { ownReadingErrors } from "../radiographs/reading-figures.ts";
import { filmForProposal } from "./film-measures.ts";

type Wishes = z.output<NonNullable<typeof contract.body>>;

/** Used where a horse has never been weighed: the plan's millimetres do not depend on it, only the pressure estimates do. */
const UNKNOWN_WEIGHT_KG = 450;

const plain = (value: unknown) => JSON.parse(JSON.stringify(value)) as never;

/** Works out a trim and shoe from a measured film. It proposes; nothing is stored and nothing is decided. */
export const propose = async (
  work: Work,
  radiographId: string,
  wishes: Wishes,
): Promise<z.input<typeof contract.response>> => {
  const film = await radiographs.read(work, radiographId);
  const found = await cases.read(work, film.caseId);
  const horse = await horses.read(work, film.horseId);
  const chosen = await filmForProposal(work, film.horseId, radiographId);
  if (chosen === null)
    throw new Problem(
      "conflict",
      film.view === "lateromedial"
        ? "This film has not been measured yet."
        : "A plan is worked out from a side view.",
      { recordId: radiographId },
    );
  assertCatalogue([wishes], "");
  const judged = trimMeasuresOfFilm(
    chosen.film.measured,
    chosen.before?.measured,
    await ownReadingErrors(work),
  );
  if (!judged.ok)
    return {
      foot: film.foot,
      plan: null,
      proposal: null,
      outline: null,
      findings: [
        {
          rule: "prescription/measures@1",
          outcome: "block",
          detail: `The film lacks ${judged.lacking.join(", ")}: place the missing points and the scale.`,
          source: {
            id: "house/planner-inputs",
            citation: "What the trim planner needs from a film",
            status: "house rule",
          },
        },
      ],
    };
  const impossible = checkTrimMeasures(judged.measures);
  if (impossible.length > 0)
    return {
      foot: film.foot,
      plan: null,
      proposal: null,
      outline: null,
      findings: [...impossible],
    };
  const phase = found.phase;
  const ceilingDays = phase === "closed" ? 35 : intervalCeilingDays(phase);
  const input: TrimInput = {
    foot: film.foot,
    measures: judged.measures,
    phase,
    animal: horse.type,
    weightKg: horse.latestWeighing?.weightKg ?? UNKNOWN_WEIGHT_KG,
    emergency: wishes.emergency,
    shoe: wishes.shoe,
    supportFill: wishes.supportFill,
    fixing: wishes.fixing,
    intervalDays: wishes.intervalDays ?? horse.resetIntervalDays ?? ceilingDays,
    ceilingDays,
    targets: defined({
      palmarAngleDegrees: wishes.palmarAngleTargetDegrees,
      breakoverMm: wishes.breakoverTargetMm,
      soleMinMm: wishes.soleMinMm,
      heelRemoveMaxMm: wishes.heelPerVisitMm,
    }),
    ...(horse.growthMmPer30d === null || horse.breakoverLimitMm === null
      ? {}
      : {
          growth: {
            startOn: localDateOf(work.nowMs, horse.yard.timeZone),
            growthMmPer30d: horse.growthMmPer30d,
            limitMm: horse.breakoverLimitMm,
            ...defined({ wearFraction: horse.wearFraction ?? undefined }),
          },
        }),
  };
  const proposal = proposeTrim(input);
  const { doNots: _, ...plan } = proposal.plan;
  return {
    foot: film.foot,
    plan: {
      ...plan,
      palmarAngleTargetDegrees: { ...plan.palmarAngleTargetDegrees },
      breakoverFromFrogTipMm: plan.breakoverFromFrogTipMm ?? null,
      wedgeReason: null,
      limitMm: horse.breakoverLimitMm,
      notes: null,
    },
    findings: [...proposal.findings],
    proposal: plain(proposal),
    outline: plain(planOutline(input, proposal.plan)),
  };
};
