import type { Finding } from "../../evidence/index.ts";
import { found } from "../finding.ts";
import { LAW } from "../formulary/sources.ts";
import type { Drug } from "../formulary/types.ts";
import type { Animal, Jurisdiction } from "../types.ts";

/**
 * Food chain and passport. In the UK and the EU an animal whose passport has not been seen is
 * treated as one that may be eaten. The US has no passport: the owner's word is noted.
 */
export const foodChainFindings = (
  drug: Drug,
  animal: Pick<Animal, "foodChain">,
  jurisdiction: Jurisdiction,
): readonly Finding[] => {
  if (animal.foodChain === "excluded")
    return [
      found(
        "food-chain",
        "pass",
        "Passport seen: excluded from the food chain.",
        drug.foodChain.source,
      ),
    ];
  if (jurisdiction === "US")
    return [
      found(
        "food-chain",
        drug.foodChain.rule === "never" ? "warn" : "note",
        "Never in a horse intended for human consumption: the owner's statement goes on file.",
        LAW.usFood,
      ),
    ];
  if (drug.foodChain.rule === "withdrawal")
    return [
      found(
        "food-chain",
        "note",
        drug.foodChain.withdrawalDays === undefined
          ? "May be eaten: write the product's own meat withdrawal time in the record."
          : `May be eaten: meat withdrawal ${String(drug.foodChain.withdrawalDays)} days, check the product.`,
        drug.foodChain.source,
      ),
    ];
  return [
    found(
      "food-chain",
      "block",
      animal.foodChain === "passport not seen"
        ? `The passport has not been seen, so the animal counts as one that may be eaten: ${drug.name} cannot be signed.`
        : `The passport does not exclude the animal from the food chain: ${drug.name} cannot be signed until it does.`,
      drug.foodChain.source,
    ),
  ];
};
