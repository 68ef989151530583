import type { TestPerson } from "./service.ts";

/** Enters a laboratory result and gives what was stored. */
export const enterResult = async (
  person: TestPerson,
  horseId: string,
  result: {
    readonly takenOn: string;
    readonly test: string;
    readonly value: number;
    readonly unit: string;
    readonly [more: string]: unknown;
  },
) => {
  const answer = await person.send("post", `/horses/${horseId}/lab-results`, result);
  if (answer.status !== 201) throw new Error(`not entered: ${answer.text}`);
  return answer.body;
};
