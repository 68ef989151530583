import { z } from "zod";
import { operation } from "./operation.ts";
import { id } from "./primitives.ts";

export const readSecondOpinionPack = operation({
  id: "readSecondOpinionPack",
  method: "GET",
  path: "/cases/:caseId/second-opinion",
  tag: "exports",
  access: ["vet", "farrier"],
  status: 200,
  summary:
    "One file for a second opinion: films with marks and without, series, doses, photos, chronology; the owner's own data left out unless asked for; no doses for a farrier",
  params: z.strictObject({ caseId: id }),
  query: z.strictObject({ withOwner: z.enum(["true", "false"]).default("false") }),
  response: z.string().describe("bytes"),
  produces: "application/zip",
});
