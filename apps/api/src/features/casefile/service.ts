import type { CaseFile } from "@heelward/contracts";
import { hasRole } from "../../http/actor.ts";
import type { Work } from "../../http/work.ts";
import * as cases from "../cases/service.ts";
import * as documents from "../documents/service.ts";
import * as examinations from "../examinations/service.ts";
import * as firstAid from "../firstaid/service.ts";
import * as handoffs from "../handoffs/service.ts";
import * as horses from "../horses/service.ts";
import { coursesOf, labResultsOf, medicineNames } from "../medication/read-model.ts";
import * as prescriptions from "../prescriptions/service.ts";
import * as radiographs from "../radiographs/service.ts";
import * as resets from "../resets/service.ts";
import * as shoeing from "../shoeing/service.ts";

const RECENT = 50;

/** What must be said on the front page of a file, whoever opens it. */
const cautionsOf = (file: Pick<CaseFile, "horse" | "case" | "reset">): string[] => [
  ...(file.case.phase === "closed"
    ? ["This case is closed; it can be read and nothing more."]
    : []),
  ...(file.horse.foodChain === "excluded"
    ? []
    : [
        `Food chain: ${file.horse.foodChain}. Phenylbutazone and suxibuzone are locked until a vet has seen a passport that excludes the animal.`,
      ]),
  ...(file.horse.latestWeighing === null
    ? ["No weight on file: weigh before any dose."]
    : file.horse.latestWeighing.ageDays > 30
      ? [
          `The weight is ${file.horse.latestWeighing.ageDays} days old; over 30 days blocks a new course.`,
        ]
      : []),
  ...(file.horse.pregnant ? ["In foal: several medicines are barred."] : []),
  ...(file.horse.lactating ? ["Nursing: several medicines are barred."] : []),
  ...(file.reset !== null && (file.reset.state === "red" || file.reset.state === "amber")
    ? [`Reset ${file.reset.reasons.join(", ")}.`]
    : []),
  "The tool computes and checks; a licensed vet or farrier decides and signs.",
];

/** The whole case on one page, as far as the caller may see it: a farrier reads medicines as names only. */
export const read = async (work: Work, caseId: string): Promise<CaseFile> => {
  const found = await cases.read(work, caseId);
  const horseId = found.horse.id;
  const { actor } = work;
  const seesMedicine = hasRole(actor, "vet", "manager", "carer");
  const seesFilms = hasRole(actor, "vet", "farrier", "manager");
  const films = seesFilms ? (await radiographs.list(work, caseId)).items : [];
  const sets = await radiographs.latestSets(
    work,
    films.map((film) => film.id),
  );
  const file = {
    case: found,
    horse: await horses.read(work, horseId),
    examinations: await examinations.latestOf(work, horseId, RECENT),
    firstAidSheets: (await firstAid.ofCase(work, caseId)).items,
    radiographs: films.map((film) => ({
      ...film,
      latestSet: sets.find((set) => set.radiographId === film.id) ?? null,
    })),
    prescriptions: seesFilms ? (await prescriptions.list(work, caseId)).items : [],
    shoeingRecords: seesFilms ? await shoeing.latestOf(work, horseId, RECENT) : [],
    reset: seesFilms ? await resets.openOf(work, horseId) : null,
    courses: seesMedicine ? await coursesOf(work, horseId) : [],
    medicineNames: await medicineNames(work, horseId),
    labResults: hasRole(actor, "vet") ? await labResultsOf(work, horseId) : [],
    weighings: (await horses.listWeighings(work, horseId, { limit: RECENT })).items,
    notes: await handoffs.ofCase(work, caseId),
    documents: await documents.latestOf(work, horseId, RECENT),
    timeline: (await cases.timeline(work, caseId, { limit: RECENT })).items,
  };
  return { ...file, cautions: cautionsOf(file) };
};
