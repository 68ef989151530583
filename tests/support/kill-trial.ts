import { setTimeout as pause } from "node:timers/promises";
import { isDeepStrictEqual } from "node:util";
import { checkRecord, type CheckFindings } from "./kill-check.ts";
import { foundPractice } from "./kill-practice.ts";
import { startRig, VICTIMS, type Victim } from "./kill-rig.ts";
import { nextWrite, type Acknowledged } from "./kill-writes.ts";

/** What is killed, and how much is written meanwhile. */
export interface KillTrial {
  readonly kills: number;
  readonly writes: number;
  /** Hands that write at the same time, each at a horse of its own. */
  readonly hands: number;
  /** Told how far it is. */
  readonly log?: (message: string) => void;
}

/** What was found after the last restart; everything but the counts is empty when nothing was lost. */
export interface KillFindings extends CheckFindings {
  readonly killed: Readonly<Record<Victim, number>>;
  /** Acknowledged writes by kind. */
  readonly acknowledged: Readonly<Record<string, number>>;
  /** Writes whose first request got no answer or a failure and was sent again under its key. */
  readonly repeated: number;
  /** Of those, writes that were in the record already: the answer alone had been lost. */
  readonly onlyAnswerLost: number;
  /** Acknowledged writes sent once more afterwards, which must give the same answer. */
  readonly replayed: number;
  readonly answeredOtherwise: readonly string[];
  /** Longest time without any acknowledged write, ms. */
  readonly longestSilenceMs: number;
}

/**
 * Several hands write through HTTP, as phones do: what is not answered is sent again under the same
 * key. Meanwhile the service, the database, one of its connections or all of it is killed (SIGKILL)
 * at random moments, and started again. At the end the record is compared with the answers.
 */
export const runKillTrial = async (trial: KillTrial): Promise<KillFindings> => {
  const log = trial.log ?? (() => undefined);
  const rig = await startRig();
  try {
    const practice = await foundPractice(rig, trial.hands);
    const acknowledged: Acknowledged[] = [];
    const killed = { service: 0, database: 0, connection: 0, both: 0 };
    let [repeated, onlyAnswerLost, longestSilenceMs, lastAt] = [0, 0, 0, performance.now()];
    let isOver = false;

    const hand = async (number: number): Promise<void> => {
      for (let count = 0; !isOver; count += 1) {
        // A hand writes one thing after the other.
        // oxlint-disable no-await-in-loop
        const write = await nextWrite(practice, number, count);
        const first = await practice.send(write);
        const begun = await first.answer.text().catch(() => undefined);
        // An answer that breaks off half way is none.
        const { answer, tries, sentAt } = begun === undefined ? await practice.send(write) : first;
        const text = begun ?? (await answer.text());
        if (answer.status !== 201) throw new Error(`${write.path}: ${answer.status} ${text}`);
        const { id } = JSON.parse(text) as { id: string };
        acknowledged.push({ write, id, text });
        longestSilenceMs = Math.max(longestSilenceMs, performance.now() - lastAt);
        lastAt = performance.now();
        if (tries === 1 && begun !== undefined) continue;
        repeated += 1;
        const [key] = await rig
          .query("SELECT created_at FROM idempotency_keys WHERE key = $1", [write.key])
          .catch(() => []);
        if (key !== undefined && (key["created_at"] as Date) < sentAt) onlyAnswerLost += 1;
        // oxlint-enable no-await-in-loop
      }
    };
    const killer = async (): Promise<void> => {
      const perKill = trial.writes / trial.kills;
      for (let number = 1; number <= trial.kills; number += 1) {
        // One kill after the other, each only after the writers got on.
        // oxlint-disable no-await-in-loop
        while (!isOver && acknowledged.length < (number - 1) * perKill + 1) await pause(10);
        await pause(Math.random() * 300);
        if (isOver) return;
        const victim = VICTIMS[number % VICTIMS.length] ?? "service";
        rig.kill(victim);
        killed[victim] += 1;
        if (number % 20 === 0) log(`  ${number} kills, ${acknowledged.length} writes`);
        // oxlint-enable no-await-in-loop
      }
      while (!isOver && acknowledged.length < trial.writes) await pause(10);
    };
    const hands = Promise.all(Array.from({ length: trial.hands }, (_, number) => hand(number)));
    await Promise.race([killer(), hands]);
    isOver = true;
    await hands;

    // A phone that never saw its answer asks again much later.
    const again = acknowledged.filter((_, at) => at % 5 === 0);
    const answeredOtherwise: string[] = [];
    for (const { write, id, text } of again) {
      // oxlint-disable-next-line no-await-in-loop
      const { answer } = await practice.send(write);
      // oxlint-disable-next-line no-await-in-loop
      if (!isDeepStrictEqual(await answer.json(), JSON.parse(text)))
        answeredOtherwise.push(`${write.kind} ${id}`);
    }
    const kinds = new Set(acknowledged.map(({ write }) => write.kind));
    return {
      killed,
      acknowledged: Object.fromEntries(
        [...kinds].map((kind) => [
          kind,
          acknowledged.filter(({ write }) => write.kind === kind).length,
        ]),
      ),
      repeated,
      onlyAnswerLost,
      replayed: again.length,
      answeredOtherwise,
      longestSilenceMs,
      ...(await checkRecord(rig, practice, acknowledged)),
    };
  } finally {
    await rig.stop();
  }
};
