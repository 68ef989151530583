import { randomUUID } from "node:crypto";
import { setTimeout as pause } from "node:timers/promises";
import { hashPassword } from "../../apps/api/src/features/session/password.ts";
import type { Rig } from "./kill-rig.ts";
import type { Write } from "./kill-writes.ts";

const PASSWORD = "a long pass phrase for tests";
const PATIENCE_MS = 180_000;

/** An answer at last. */
export interface Answered {
  readonly answer: Response;
  readonly tries: number;
  /** When the request went out that was answered. */
  readonly sentAt: Date;
}

/** Asks until the service gives an answer that is no failure of its own. */
const insist = async (ask: () => Promise<Response>): Promise<Answered> => {
  const endsAt = performance.now() + PATIENCE_MS;
  for (let tries = 1; ; tries += 1) {
    // Each try follows the failure of the one before.
    // oxlint-disable no-await-in-loop
    const sentAt = new Date();
    const answer = await ask().catch(() => undefined);
    if (answer !== undefined && answer.status < 500 && answer.status !== 429)
      return { answer, tries, sentAt };
    const last = answer === undefined ? "no answer" : `${answer.status} ${await answer.text()}`;
    if (performance.now() > endsAt) throw new Error(`the service does not come back: ${last}`);
    await pause(50);
    // oxlint-enable no-await-in-loop
  }
};

/** A practice with a horse and a case for each hand. */
export interface TrialPractice {
  readonly practiceId: string;
  readonly horses: readonly { readonly id: string; readonly caseId: string }[];
  readonly farrierId: string;
  /** Sends something until it is answered. */
  readonly send: (write: Omit<Write, "kind" | "mark">) => Promise<Answered>;
  readonly get: (path: string) => Promise<Record<string, unknown>>;
}

/** Makes the practice and signs its vet and farrier in. */
export const foundPractice = async (rig: Rig, hands: number): Promise<TrialPractice> => {
  const [practiceId, yardId, vetId, farrierId] = [
    randomUUID(),
    randomUUID(),
    randomUUID(),
    randomUUID(),
  ];
  await rig.query(
    "INSERT INTO practices (id, name, phone, time_zone, jurisdiction) VALUES ($1, 'Test Practice', '+353 1 000 0000', 'Europe/Dublin', 'UK')",
    [practiceId],
  );
  await rig.query(
    "INSERT INTO yards (practice_id, id, name, lat, lon, time_zone) VALUES ($1, $2, 'Test Yard', 53.2, -9, 'Europe/Dublin')",
    [practiceId, yardId],
  );
  const hash = await hashPassword(PASSWORD);
  for (const [id, role] of [
    [vetId, "vet"],
    [farrierId, "farrier"],
  ] as const)
    // oxlint-disable-next-line no-await-in-loop
    await rig.query(
      "INSERT INTO people (practice_id, id, name, email, roles, registration_number, clinical_lead, password_hash) VALUES ($1, $2, $3, $4, $5, 'REG-1', $6, $7)",
      [practiceId, id, `Test ${role}`, `${role}@test.invalid`, [role], role === "vet", hash],
    );

  const tokens = new Map<string, Promise<string>>();
  const tokenOf = (role: string): Promise<string> => {
    const known = tokens.get(role);
    if (known !== undefined) return known;
    const fresh = insist(() =>
      fetch(`${rig.url}/session`, {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ email: `${role}@test.invalid`, password: PASSWORD }),
      }),
    ).then(async ({ answer }) => ((await answer.json()) as { accessToken: string }).accessToken);
    tokens.set(role, fresh);
    return fresh;
  };
  const call = async (as: string, ask: (token: string) => Promise<Response>): Promise<Response> => {
    const used = tokenOf(as);
    const answer = await ask(await used);
    if (answer.status !== 401) return answer;
    // Access tokens last minutes; the first who notices signs in again.
    if (tokens.get(as) === used) tokens.delete(as);
    return ask(await tokenOf(as));
  };
  const formOf = ({ upload, mark = "file" }: Partial<Write>): FormData => {
    const form = new FormData();
    for (const [name, value] of Object.entries(upload?.fields ?? {})) form.append(name, value);
    form.append(
      "file",
      new Blob([new Uint8Array(upload?.bytes ?? [])], { type: "image/png" }),
      mark,
    );
    return form;
  };
  const send: TrialPractice["send"] = (write) =>
    insist(() =>
      call(write.as, (token) =>
        fetch(rig.url + write.path, {
          method: "POST",
          headers: {
            authorization: `Bearer ${token}`,
            "idempotency-key": write.key,
            ...(write.upload === undefined ? { "content-type": "application/json" } : {}),
          },
          body: write.upload === undefined ? JSON.stringify(write.body) : formOf(write),
        }),
      ),
    );
  const made = async (path: string, body: Record<string, unknown>): Promise<string> => {
    const { answer } = await send({ key: randomUUID(), as: "vet", path, body });
    const text = await answer.text();
    if (answer.status !== 201) throw new Error(`${path} answered ${answer.status}: ${text}`);
    return (JSON.parse(text) as { id: string }).id;
  };
  const horses = await Promise.all(
    Array.from({ length: hands }, async (_, at) => {
      const id = await made("/horses", {
        name: `Test Horse ${at + 1}`,
        type: "horse",
        sex: "mare",
        yardId,
        heightCm: 150,
        farrierId,
      });
      await made(`/horses/${id}/weighings`, {
        method: "scale",
        weightKg: 450,
        weighedAt: new Date(Date.now() - 3_600_000).toISOString(),
      });
      const caseId = await made("/cases", {
        horseId: id,
        phase: "chronic active",
        feetAffected: ["LF", "RF"],
      });
      return { id, caseId };
    }),
  );
  return {
    practiceId,
    horses,
    farrierId,
    send,
    get: async (path) => {
      const { answer } = await insist(() =>
        call("vet", (token) =>
          fetch(rig.url + path, { headers: { authorization: `Bearer ${token}` } }),
        ),
      );
      return (await answer.json()) as Record<string, unknown>;
    },
  };
};
