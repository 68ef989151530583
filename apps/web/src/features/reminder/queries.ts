import { useMutation, useQuery } from "@tanstack/react-query";
import { call } from "../../api/client.ts";
import type { Answer, Input } from "../../api/operations.ts";
import { ProblemError } from "../../api/problem-error.ts";
import { read } from "../../api/use-call.ts";

export type Reminder = Answer<"readReminder">;
export type Reply = Input<"answerReminder">["body"];

/** Read once: the link stops working with the answer, so reading it again would only lose the words. */
export const useReminder = (token: string) =>
  useQuery({ ...read("readReminder", { params: { token } }), staleTime: Infinity });

/** Sends the one answer. Nothing else is read again, for there is nothing left to read. */
export const useReply = (token: string) =>
  useMutation({
    mutationFn: (body: Reply) => call("answerReminder", { params: { token }, body }),
  });

/** Whether the link asks nothing any more: used up, run out, cut short. False for faults that pass. */
export const isClosed = (error: Error | null): boolean =>
  error instanceof ProblemError &&
  (error.slug === "not-found" || error.fieldDetail("#params/token") !== undefined);
