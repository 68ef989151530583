import { useQuery } from "@tanstack/react-query";
import type { Answer } from "../../api/operations.ts";
import { read } from "../../api/use-call.ts";

export type Drafts = Answer<"listDrafts">;
export type PlanDraft = Drafts["plans"][number];
export type CourseDraft = Drafts["courses"][number];

export const useDrafts = () => useQuery(read("listDrafts", {}));
