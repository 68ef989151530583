import type { Prescription } from "@heelward/contracts";
import { addressOf, type Loose, type WriteKeeper } from "../api/client.ts";
import type { OperationId } from "../api/operations.ts";
import { readMeta } from "./database.ts";
import { changeKept, keepAnswer, keptResponse } from "./kept-answers.ts";
import type { KeptOnDevice } from "./kept-on-device.ts";
import { aboutOf, isKeptWrite, requestOf } from "./kept-writes.ts";
import { type Outbox, type Request, unsettled, write } from "./outbox.ts";
import { changeOutbox, type NewFile, outboxOwner } from "./outbox-store.ts";
import { hasSignal } from "./signal.ts";
import { offlineState, setOffline } from "./state.ts";
import { startSync } from "./run-sync.ts";
import type { ClockReading } from "./clock.ts";

const keptJson = async <T>(address: string): Promise<T | undefined> => {
  const found = await keptResponse(address);
  return found === undefined ? undefined : ((await found.json()) as T);
};

/** Which horse a write is about; a plan says its own. */
const subjectOf = async (id: OperationId, input: Loose) => {
  const about = aboutOf(id, input);
  if (about.horseId !== undefined) return { lane: about.horseId, horseId: about.horseId };
  if (id === "replyToPrescription") {
    const plan = await keptJson<Prescription>(
      addressOf("readPrescription", { params: { prescriptionId: about.recordId ?? "" } }),
    );
    if (plan !== undefined) return { lane: plan.horseId, horseId: plan.horseId };
  }
  return { lane: about.recordId ?? id, horseId: undefined };
};

const nameOf = async (horseId: string | undefined): Promise<string> =>
  horseId === undefined
    ? ""
    : ((await keptJson<{ name: string }>(addressOf("readHorse", { params: { horseId } })))?.name ??
      "");

const REPLY = { accepted: "accepted", queried: "queried", declined: "declined" } as const;

/** Shows on the stored pages what was just written: a plan accepted here is accepted here. */
const showOnDevice = async (id: OperationId, input: Loose, lane: string): Promise<void> => {
  const body = (input.body ?? {}) as Readonly<Record<string, unknown>>;
  const prescriptionId =
    id === "replyToPrescription" ? input.params?.["prescriptionId"] : body["prescriptionId"];
  if (typeof prescriptionId !== "string") return;
  const status = id === "recordShoeing" ? "done" : REPLY[body["reply"] as keyof typeof REPLY];
  const change = (plan: Prescription): Prescription =>
    plan.id === prescriptionId ? { ...plan, status, isCurrent: status !== "done" } : plan;
  const address = addressOf("readPrescription", { params: { prescriptionId } });
  const plan = await keptJson<Prescription>(address);
  if (plan === undefined || plan.horseId !== lane) return;
  await changeKept<Prescription>(address, change);
  await changeKept<{ items: Prescription[] }>(
    addressOf("listPrescriptions", { params: { caseId: plan.caseId } }),
    (list) => ({ ...list, items: list.items.map(change) }),
  );
};

/** A visit refers to the newest one that was seen; behind an own unsent one that is not known. */
const withoutGuess = (outbox: Outbox, lane: string, request: Request): Request => {
  if (
    request.operation !== "recordShoeing" ||
    !unsettled(outbox).some(
      (entry) => entry.lane === lane && entry.request.operation === "recordShoeing",
    )
  )
    return request;
  const { lastRecordId: _, ...body } = request.body;
  return { ...request, body };
};

/** Registers with the service's client what keeps writes for this person. */
export const writeKeeper = (personId: string): WriteKeeper => ({
  takes: (id) => isKeptWrite(id) && !offlineState().isOthers,
  mustWait: async (id, input) => {
    if (!hasSignal()) return true;
    const waiting = unsettled(offlineState().outbox);
    if (waiting.length === 0) return false;
    const { lane } = await subjectOf(id, input);
    return waiting.some((entry) => entry.lane === lane);
  },
  keep: async (id, input, key) => {
    const owner = await outboxOwner();
    if (owner !== undefined && owner !== personId)
      throw new Error("Somebody else's unsent records are on this device.");
    const { lane, horseId } = await subjectOf(id, input);
    const fileId = input.file === undefined ? undefined : key;
    const files: readonly NewFile[] =
      input.file === undefined ? [] : [{ id: key, file: input.file }];
    const clockBefore = (await readMeta<ClockReading>("clock")) ?? null;
    const label = await nameOf(horseId);
    const request = requestOf(id, input, fileId);
    try {
      const outbox = await changeOutbox(
        personId,
        (before) =>
          write(before, {
            key,
            lane,
            personId,
            label,
            deviceAtMs: Date.now(),
            clockBefore,
            request: withoutGuess(before, lane, request),
          }),
        files,
      );
      setOffline({ outbox, isFull: false });
    } catch (error) {
      if (error instanceof DOMException && error.name === "QuotaExceededError")
        setOffline({ isFull: true });
      throw error;
    }
    const recordId = request.body["id"];
    const documentId = typeof recordId === "string" ? recordId : key;
    // The write itself is safe by now; what follows only makes the stored pages show it.
    await showOnDevice(id, input, lane).catch(() => undefined);
    if (input.file !== undefined)
      await keepAnswer(
        addressOf("readDocumentContent", { params: { documentId } }),
        await input.file.arrayBuffer(),
        input.file.type,
      ).catch(() => 0);
    if (navigator.onLine) startSync();
    const answer: KeptOnDevice = { keptOnDevice: true, id: documentId };
    return answer;
  },
});
