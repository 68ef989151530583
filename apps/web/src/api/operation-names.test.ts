import * as contracts from "@heelward/contracts";
import { describe, expect, it } from "vitest";

describe("the names of operations", () => {
  it("are the same as export and as id, because the browser calls by the one and looks up the other", () => {
    const known = new Set(contracts.OPERATIONS.map((one) => one.id));
    const exported = Object.entries(contracts).filter(
      ([, value]) => typeof value === "object" && "method" in value && "path" in value,
    );
    expect(exported.map(([name]) => name).toSorted()).toEqual([...known].toSorted());
  });
});
