import AxeBuilder from "@axe-core/playwright";
import type { Page } from "playwright-core";

const faultsOf = async (axe: AxeBuilder): Promise<readonly string[]> =>
  (await axe.analyze()).violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 160)}`),
  );

/** What axe-core holds against the page as it stands: rule and place, one line each; empty is right. */
export const violationsOf = (page: Page): Promise<readonly string[]> =>
  faultsOf(new AxeBuilder({ page }));

/** What axe-core finds against WCAG 2.2 A and AA alone, without its advice on good practice. */
export const wcagFaultsOf = (page: Page): Promise<readonly string[]> =>
  faultsOf(
    new AxeBuilder({ page }).withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]),
  );
