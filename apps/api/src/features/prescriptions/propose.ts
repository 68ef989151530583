import type { proposeTrim as contract } from "@heelward/contracts";
import { planOutline, proposeTrim } from "@heelward/domain/trim";
import type { z } from "zod";
import { Problem } from "../../http/problem.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as horses from "../horses/service.ts";
import * as radiographs from "../radiographs/service.ts";
import { assertCatalogue } from "./catalogue.ts";
import { plannerFigures } from "./figures.ts";
import { filmForProposal } from "./film-measures.ts";
import { plannerInput } from "./planner-input.ts";

type Wishes = z.output<NonNullable<typeof contract.body>>;

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
  const figures = await plannerFigures(work);
  assertCatalogue([wishes], "", figures.catalogue);
  const prepared = await plannerInput(work, chosen, {
    foot: film.foot,
    phase: found.phase,
    horse,
    figures,
    wishes,
  });
  if (!prepared.ok)
    return {
      foot: film.foot,
      plan: null,
      proposal: null,
      outline: null,
      findings: [...prepared.findings],
    };
  const { input } = prepared;
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
