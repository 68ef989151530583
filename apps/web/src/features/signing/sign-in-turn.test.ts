import { describe, expect, it } from "vitest";
import { signInTurn, type ToSign } from "./sign-in-turn.ts";

const TURNED_BACK = new Error("turned back");
const turnedBack = (error: Error) => error === TURNED_BACK;

const trial = (answers: readonly (Error | "fine")[]) => {
  const sent: string[] = [];
  const items = answers.map((answer, index): ToSign => {
    const key = String(index);
    return {
      key,
      what: "Plan",
      horse: "Test Horse",
      send: () => {
        sent.push(key);
        return answer === "fine" ? Promise.resolve() : Promise.reject(answer);
      },
    };
  });
  return { items, sent };
};

describe("signing one after the other", () => {
  it("names the one that failed and goes on with those after it", async () => {
    const refused = new Error("changed since it was read");
    const { items, sent } = trial(["fine", refused, "fine"]);
    const seen: number[] = [];
    const outcomes = await signInTurn(items, turnedBack, (done) => seen.push(done));
    expect(outcomes.map(({ state }) => state)).toEqual(["signed", "failed", "signed"]);
    expect(outcomes[1]?.error).toBe(refused);
    expect(sent).toEqual(["0", "1", "2"]);
    expect(seen).toEqual([1, 2, 3]);
  });

  it("tries nothing more once the person turned back at the password", async () => {
    const { items, sent } = trial([TURNED_BACK, "fine", "fine"]);
    const outcomes = await signInTurn(items, turnedBack, () => undefined);
    expect(outcomes.map(({ state }) => state)).toEqual(["not tried", "not tried", "not tried"]);
    expect(sent).toEqual(["0"]);
  });

  it("never has two signatures under way at once", async () => {
    let underWay = 0;
    let most = 0;
    const items = Array.from({ length: 5 }, (_, index): ToSign => ({
      key: String(index),
      what: "Plan",
      horse: "Test Horse",
      send: async () => {
        underWay += 1;
        most = Math.max(most, underWay);
        await Promise.resolve();
        underWay -= 1;
      },
    }));
    await signInTurn(items, turnedBack, () => undefined);
    expect(most).toBe(1);
  });
});
