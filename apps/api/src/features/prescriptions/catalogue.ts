import { findFill, findFixing, findShoe } from "@heelward/domain/trim";
import { badField } from "../../http/problem.ts";
import type { PracticeCatalogue } from "../catalogue/service.ts";

interface Device {
  readonly shoe: string;
  readonly supportFill: string;
  readonly fixing: string;
}

/**
 * @throws Problem naming the first shoe, fill or fixing that neither the generic catalogue nor the
 * practice's own has, or that the practice has retired. `keeps` are devices a plan named already.
 */
export const assertCatalogue = (
  feet: readonly Device[],
  pointer: string,
  own: PracticeCatalogue,
  keeps: readonly Device[] = [],
): void => {
  const kept = new Set(keeps.flatMap((one) => [one.shoe, one.supportFill, one.fixing]));
  const isOut = (id: string) => own.retiredIds.includes(id) && !kept.has(id);
  for (const [index, foot] of feet.entries()) {
    const at = pointer === "" ? "" : `${pointer}/${index}`;
    const named = [
      ["shoe", "shoes", foot.shoe, findShoe(foot.shoe, own)],
      ["supportFill", "fills", foot.supportFill, findFill(foot.supportFill, own)],
      ["fixing", "fixings", foot.fixing, findFixing(foot.fixing, own)],
    ] as const;
    for (const [field, list, id, found] of named) {
      if (found === undefined)
        throw badField(`${at}/${field}`, `is not in the catalogue of ${list}`);
      if (isOut(id)) throw badField(`${at}/${field}`, "was retired from the practice's catalogue");
    }
  }
};
