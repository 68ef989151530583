import { describe, expect, it } from "vitest";
import { hasDevice, judgeConsent } from "./judge-consent.ts";
import { FIXING_CATALOGUE, SHOE_CATALOGUE } from "./shoe-catalogue.ts";

const glued = { shoe: "glue-on", fixing: "glue" };
const foam = { shoe: "foam", fixing: "tape" };

// House rule: no paper says when an owner must be asked; the law on contracts differs by country.
describe("the owner's consent to a plan", () => {
  it("is for what stays on the foot, not for a bare trim or a support any hand takes off", () => {
    expect(hasDevice([{ shoe: "bare", fixing: "none" }, foam])).toBe(false);
    expect(hasDevice([{ shoe: "boot-pad", fixing: "none" }])).toBe(false);
    expect(hasDevice([foam, glued])).toBe(true);
    expect(hasDevice([{ shoe: "bare", fixing: "cast-tape" }])).toBe(true);
    expect(hasDevice([{ shoe: "our-own-shoe", fixing: "none" }])).toBe(true);
  });

  it("is asked for every shoe of the catalogue but three, and for every fixing but tape", () => {
    expect(
      SHOE_CATALOGUE.filter(({ id }) => !hasDevice([{ shoe: id, fixing: "none" }])).map(
        ({ id }) => id,
      ),
    ).toEqual(expect.arrayContaining(["bare", "foam", "boot-pad"]));
    expect(
      SHOE_CATALOGUE.filter(({ id }) => !hasDevice([{ shoe: id, fixing: "none" }])),
    ).toHaveLength(3);
    expect(
      FIXING_CATALOGUE.filter(({ id }) => !hasDevice([{ shoe: "bare", fixing: id }]))
        .map(({ id }) => id)
        .toSorted(),
    ).toEqual(["none", "tape"]);
  });

  it("needs a written reason while it is missing, and none once it is given", () => {
    const missing = judgeConsent({ feet: [glued], isEmergency: false, agreedBy: null });
    expect(missing.map((one) => one.outcome)).toEqual(["warn"]);
    const given = judgeConsent({ feet: [glued], isEmergency: false, agreedBy: "Odo Owner" });
    expect(given.map((one) => one.outcome)).toEqual(["pass"]);
    expect(judgeConsent({ feet: [foam], isEmergency: false, agreedBy: null })).toEqual([]);
  });

  it("never holds up first aid, and says that it was waived", () => {
    const [waived] = judgeConsent({ feet: [glued], isEmergency: true, agreedBy: null });
    expect(waived?.outcome).toBe("note");
    expect(waived?.detail).toContain("Waived");
  });
});
