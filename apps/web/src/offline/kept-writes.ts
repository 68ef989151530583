import type { Loose } from "../api/client.ts";
import type { OperationId } from "../api/operations.ts";
import type { Json, Request } from "./outbox.ts";

/** What a farrier or carer may write without signal, and what it is about. */
type About = (input: Loose) => {
  readonly horseId?: string | undefined;
  readonly recordId?: string;
};

const ofBody = (name: string, { body }: Loose): string | undefined => {
  const value = (body as Readonly<Record<string, unknown>> | undefined)?.[name];
  return typeof value === "string" ? value : undefined;
};

const KEPT: Partial<Record<OperationId, About>> = {
  recordShoeing: ({ params }) => ({ horseId: params?.["horseId"] }),
  addDocument: ({ params }) => ({ horseId: params?.["horseId"] }),
  replyToPrescription: ({ params }) => ({ recordId: params?.["prescriptionId"] ?? "" }),
  writeHandoffNote: (input) => ({ horseId: ofBody("horseId", input) }),
  acknowledgeNote: ({ params }) => ({ recordId: params?.["noteId"] ?? "" }),
  logRedFlagCall: (input) => ({ recordId: `call ${ofBody("pressedAt", input) ?? ""}` }),
};

export const isKeptWrite = (id: OperationId): boolean => KEPT[id] !== undefined;

export const aboutOf = (id: OperationId, input: Loose) => KEPT[id]?.(input) ?? {};

/** The request as the outbox keeps it; a file stays beside it. */
export const requestOf = (id: OperationId, input: Loose, fileId: string | undefined): Request => ({
  operation: id,
  params: { ...input.params },
  body: JSON.parse(JSON.stringify(input.body ?? {})) as { readonly [key: string]: Json },
  ...(input.ifMatch === undefined ? {} : { ifMatch: input.ifMatch }),
  ...(fileId === undefined ? {} : { fileId }),
});
