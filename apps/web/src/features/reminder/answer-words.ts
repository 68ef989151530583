import type { Reply } from "./queries.ts";

/** The text key of an answer: "Yes" to a day and "Yes" to any day are different promises. */
export const answerWords = (answer: Reply["answer"], hasDate: boolean) => {
  if (answer === "yes") return hasDate ? "yesDate" : "yesOpen";
  if (answer === "no") return hasDate ? "noToDate" : "noToOpen";
  return answer;
};
