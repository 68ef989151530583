import { findFill, findShoe, FIXING_CATALOGUE } from "@heelward/domain/trim";
import { badField } from "../../http/problem.ts";

/** @throws Problem naming the first shoe, fill or fixing that the catalogue does not have. */
export const assertCatalogue = (
  feet: readonly { readonly shoe: string; readonly supportFill: string; readonly fixing: string }[],
  pointer: string,
): void => {
  for (const [index, foot] of feet.entries()) {
    const at = pointer === "" ? "" : `${pointer}/${index}`;
    if (findShoe(foot.shoe) === undefined)
      throw badField(`${at}/shoe`, "is not in the catalogue of shoes");
    if (findFill(foot.supportFill) === undefined)
      throw badField(`${at}/supportFill`, "is not in the catalogue of fills");
    if (!FIXING_CATALOGUE.some((entry) => entry.id === foot.fixing))
      throw badField(`${at}/fixing`, "is not in the catalogue of fixings");
  }
};
