import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";

/** What axe-core holds against the page as it stands: rule and place, one line each; empty is right. */
export const violationsOf = async (page: Page): Promise<readonly string[]> => {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`),
  );
};
