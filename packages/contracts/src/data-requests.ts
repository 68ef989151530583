import { z } from "zod";
import { operation } from "./operation.ts";
import { id, instant, personRef, prose, version } from "./primitives.ts";

/** What a person asks about the own data, and what the practice answered. */
export const dataRequest = z
  .object({
    id,
    person: personRef,
    kind: z.enum(["copy", "erasure"]),
    words: z.string().nullable(),
    askedAt: instant,
    answeredAt: instant.nullable(),
    answer: z.string().nullable(),
    version,
  })
  .meta({ id: "DataRequest" });
export type DataRequestView = z.infer<typeof dataRequest>;

export const askAboutData = operation({
  id: "askAboutData",
  method: "POST",
  path: "/portal/data-requests",
  tag: "portal",
  access: ["owner"],
  status: 201,
  summary: "Ask for a copy of what is kept about you, or for its deletion where the law allows it",
  body: z.strictObject({ kind: z.enum(["copy", "erasure"]), words: prose(1000).optional() }),
  response: dataRequest,
});
export const listDataRequests = operation({
  id: "listDataRequests",
  method: "GET",
  path: "/data-requests",
  tag: "people",
  access: ["manager"],
  status: 200,
  summary: "What people ask about their own data, unanswered first, oldest first",
  response: z.object({ items: z.array(dataRequest) }),
});
export const answerDataRequest = operation({
  id: "answerDataRequest",
  method: "POST",
  path: "/data-requests/:dataRequestId/answer",
  tag: "people",
  access: ["manager"],
  status: 200,
  ifMatch: true,
  summary: "Write down how a request about data was answered",
  params: z.strictObject({ dataRequestId: id }),
  body: z.strictObject({ answer: prose(1000) }),
  response: dataRequest,
});
