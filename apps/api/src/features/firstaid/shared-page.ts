import { createHash } from "node:crypto";
import type { readSharedFirstAid } from "@heelward/contracts";
import escapeHtml from "escape-html";
import type { z } from "zod";

type SharedSheet = z.output<typeof readSharedFirstAid.response>;

/**
 * The shared sheet as one page of plain HTML: no script, no font, no second request, so that it
 * opens on an old phone with one bar of signal, reads without its looks, and prints on one A4.
 */
const STYLE = `
:root { color-scheme: light dark; --paper: light-dark(#f6f1e8, #191613); --sheet: light-dark(#fffdf8, #221e1a);
  --rule: light-dark(#ddd2bf, #3b342c); --text: light-dark(#2a241d, #efe7da); --text-2: light-dark(#5d5244, #bfb3a1);
  --now: light-dark(#9d1f14, #ff9d8f); --now-soft: light-dark(#fbe4df, #47201b); }
body { max-width: 56rem; margin: 0 auto; padding: 1rem; background: var(--paper); color: var(--text);
  font: 1.0625rem/1.4 system-ui, -apple-system, "Segoe UI", sans-serif; }
h1 { margin: 0; font: 650 1.9375rem/1.15 "Iowan Old Style", Palatino, Georgia, serif; }
h2 { margin: 1.25rem 0 0.25rem; font-size: 1.25rem; }
p { margin: 0.25rem 0; }
.ring { margin: 1rem 0; padding: 0.75rem 1rem; border: 2px solid var(--now); border-radius: 0.5rem; background: var(--now-soft); font-weight: 700; }
.ring a { display: inline-block; padding: 0.6rem 0.5rem; color: var(--now); font-size: 1.5rem; }
.steps { padding-left: 0; list-style-position: inside; }
.steps > li { margin: 0.5rem 0; padding: 0.75rem 1rem; border: 1px solid var(--rule); border-radius: 0.5rem; background: var(--sheet); font-size: 1.25rem; line-height: 1.35; }
.steps > li::marker { font-weight: 700; }
details { color: var(--text-2); font-size: 0.9375rem; }
summary { min-height: 1.75rem; padding: 0.5rem 0; cursor: pointer; }
.quiet { color: var(--text-2); font-size: 0.9375rem; }
.two { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 18rem), 1fr)); gap: 0 2rem; }
.two ul { margin: 0; padding-left: 1.2rem; }
@media print {
  @page { size: A4; margin: 12mm; }
  body { max-width: none; padding: 0; background: #fff; color: #000; font-size: 10.5pt; line-height: 1.25; }
  h1 { font-size: 18pt; } h2 { margin-top: 2.5mm; font-size: 11.5pt; }
  .ring { margin: 2mm 0; padding: 1mm 3mm; } .ring a { padding: 0; font-size: 15pt; color: #000; }
  .steps { margin: 1mm 0; } .steps > li { margin: 0; padding: 1.2mm 0; border: 0; border-bottom: 0.3mm solid #999; border-radius: 0; font-size: 11.5pt; line-height: 1.2; }
  details, .screen { display: none; }
  .two { grid-template-columns: 1fr 1fr; } .two ul { font-size: 9.5pt; }
}`;

/** Allows this page its one style sheet and nothing else. */
export const SHARED_PAGE_POLICY = `default-src 'none'; style-src 'sha256-${createHash("sha256").update(STYLE).digest("base64")}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`;

const page = (title: string, body: string): string =>
  `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>${escapeHtml(title)}</title>
<style>${STYLE}</style>
</head>
<body>
${body}
</body>
</html>
`;

const list = (items: readonly string[]): string =>
  `<ul>${items.map((item) => `<li>${escapeHtml(item)}</li>`).join("")}</ul>`;

const source = ({ citation, status }: { readonly citation: string; readonly status: string }) =>
  `<p class="quiet">${escapeHtml(citation)} (${escapeHtml(status)})</p>`;

const step = ({ text, why, source: from }: SharedSheet["steps"][number]): string =>
  `<li>${escapeHtml(text)}<details><summary>Why</summary><p>${escapeHtml(why)}</p>${source(from)}</details></li>`;

const ring = (phone: string | null): string =>
  phone === null
    ? "Ring the practice."
    : `Ring the vet <a href="tel:${escapeHtml(phone.replaceAll(/[^+\d]/g, ""))}">${escapeHtml(phone)}</a>`;

/** The sheet as a page. `writtenAt` is shown in the yard's own time. */
export const sharedSheetPage = (sheet: SharedSheet): string => {
  const written = new Intl.DateTimeFormat("en-GB", {
    timeZone: sheet.timeZone,
    dateStyle: "full",
    timeStyle: "short",
  }).format(new Date(sheet.writtenAt));
  const title = `First aid for ${sheet.horseName}`;
  return page(
    title,
    `<main>
<h1>${escapeHtml(title)}</h1>
<p class="quiet">Written ${escapeHtml(written)}</p>
<p class="ring">${ring(sheet.phone)}</p>
<h2>Do this, in this order</h2>
<ol class="steps">${sheet.steps.map(step).join("\n")}</ol>
<div class="two">
<section><h2>Ring at once if</h2>${list(sheet.ringAtOnceIf)}</section>
<section><h2>Write down</h2>${list(sheet.writeDown)}</section>
</div>
${
  sheet.disagreements.length === 0
    ? ""
    : `<section class="screen"><h2>Where advice differs</h2>${sheet.disagreements
        .map(
          (one) =>
            `${one.sides.map((side) => `<p>${escapeHtml(side.says)}</p>${source(side.source)}`).join("")}<p><strong>This sheet follows: ${escapeHtml(one.sheetFollows)}</strong></p>`,
        )
        .join("\n")}</section>`
}
<p class="quiet">${escapeHtml(sheet.caution)}</p>
</main>`,
  );
};

/** What a link that no longer works says. */
export const goneSheetPage = (): string =>
  page(
    "First-aid sheet",
    `<main>
<h1>This link no longer works</h1>
<p>A link to a first-aid sheet works for 14 days. <strong>If a horse is in trouble, ring the vet now.</strong></p>
<p>Until the vet comes: do not walk the horse, bed the whole box deep right up to the door, and put water within its reach.</p>
<p>The practice can send you a new link.</p>
</main>`,
  );
