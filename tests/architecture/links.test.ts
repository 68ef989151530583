import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { ACTION_LABELS, actionHref } from "../../apps/api/src/features/queues/links.ts";
import type { NextAction } from "@heelward/domain/queue";
import { root } from "./repository.ts";

const place = { refType: "case", refId: "ref", horseId: "horse", caseId: "case" };

const pagesSource = readFileSync(join(root, "apps", "web", "src", "app", "pages.ts"), "utf8");
/** Addresses of the dashboard, read from its table of pages. */
const paths = [...pagesSource.matchAll(/page\(\s*"([^"]+)"/g)].map(([, path = ""]) => path);

/** True when the dashboard has a page at this address. */
const isPage = (href: string): boolean =>
  paths.some((path) => {
    const pattern = path.split("/");
    const parts = href.split("/");
    return (
      pattern.length === parts.length &&
      pattern.every((part, index) => part.startsWith("$") || part === parts[index])
    );
  });

describe("links from the queue into the dashboard", () => {
  it("reads the addresses of all pages", () => {
    expect(paths.length).toBeGreaterThan(35);
    expect(isPage("/no-such-page")).toBe(false);
  });
  it.each(Object.keys(ACTION_LABELS) as NextAction[])("has a page for: %s", (action) => {
    expect(isPage(actionHref(action, place))).toBe(true);
    expect(isPage(actionHref(action, { ...place, caseId: null }))).toBe(true);
  });
});
