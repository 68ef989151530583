import type { NextAction } from "@heelward/domain/queue";

/** What the button says. Sentence case; the words of the trade. */
export const ACTION_LABELS: Readonly<Record<NextAction, string>> = {
  "ring the vet": "Ring the vet",
  "ring the yard": "Ring the yard",
  "see the horse": "See the horse",
  "measure the film": "Measure the film",
  "read and sign": "Read and sign",
  "answer the plan": "Answer the plan",
  "chase the reply": "Chase the reply",
  "answer the question": "Answer the question",
  "plan a joint visit": "Plan a joint visit",
  "book the reset": "Book the reset",
  "do the reset": "Record the reset",
  acknowledge: "Read and acknowledge",
  "chase the note": "Chase the note",
  "decide on the course": "Decide on the course",
  "give nothing": "See why",
  "review the course": "Review the course",
  "give the dose": "Give the dose",
  "do the check": "Do the check",
  "weigh the horse": "Weigh the horse",
  "read the result": "Read the result",
  "see to the monitoring": "See to it",
  "finish the checklist": "Finish the checklist",
  "take the film": "Take the film",
  "open the appointment": "Open the case",
  "open the case": "Open the case",
};

/** Where a piece of work stands, before it is opened. */
export interface WorkPlace {
  readonly refType: string;
  readonly refId: string;
  readonly horseId: string;
  readonly caseId: string | null;
}

/** The page of the dashboard on which an action is done. */
export const actionHref = (action: NextAction, place: WorkPlace): string => {
  const file = place.caseId === null ? `/horses/${place.horseId}` : `/cases/${place.caseId}`;
  if (place.refType === "case task" && place.caseId !== null) return `${file}/procedures`;
  switch (action) {
    case "measure the film":
      return `/films/${place.refId}`;
    case "read and sign":
    case "answer the plan":
    case "chase the reply":
    case "answer the question":
    case "plan a joint visit":
      return `/prescriptions/${place.refId}`;
    case "book the reset":
      return `/resets/${place.refId}`;
    case "do the reset":
      return `/shoeing/${place.horseId}`;
    case "acknowledge":
    case "chase the note":
      return "/handoffs";
    case "give the dose":
    case "do the check":
    case "give nothing":
      return "/care";
    case "decide on the course":
    case "review the course":
      return `/courses/${place.refId}`;
    case "weigh the horse":
      return `/horses/${place.horseId}`;
    case "see to the monitoring":
      return `/monitoring/${place.horseId}`;
    case "read the result":
      return `/laboratory/${place.horseId}`;
    case "finish the checklist":
      return `/first-aid-sheets/${place.refId}`;
    default:
      return file;
  }
};
