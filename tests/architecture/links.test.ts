import { describe, expect, it } from "vitest";
import { ACTION_LABELS, actionHref } from "../../apps/api/src/features/queues/links.ts";
import { PAGES } from "../../apps/web/src/app/pages.ts";
import type { NextAction } from "@heelward/domain/queue";

const place = { refType: "case", refId: "ref", horseId: "horse", caseId: "case" };

/** True when the dashboard has a page at this address. */
const isPage = (href: string): boolean =>
  PAGES.some(({ path }) => {
    const pattern = path.split("/");
    const parts = href.split("/");
    return (
      pattern.length === parts.length &&
      pattern.every((part, index) => part.startsWith("$") || part === parts[index])
    );
  });

describe("links from the queue into the dashboard", () => {
  it.each(Object.keys(ACTION_LABELS) as NextAction[])("has a page for: %s", (action) => {
    expect(isPage(actionHref(action, place))).toBe(true);
    expect(isPage(actionHref(action, { ...place, caseId: null }))).toBe(true);
  });
});
