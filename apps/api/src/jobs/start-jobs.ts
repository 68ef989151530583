import { PgBoss } from "pg-boss";
import { z } from "zod";
import type { BlobKeeper } from "../blobs/blob-store.ts";
import type { Database } from "../database/client.ts";
import { listenForChanges } from "../database/listen-for-changes.ts";
import { runPlan } from "../features/plans/run-plan.ts";
import type { DriveTimesProvider } from "../features/routes/drive-times.ts";
import { dispatchOutbox } from "../mail/dispatch-outbox.ts";
import type { Mailer } from "../mail/mailer.ts";
import type { MailRoom } from "../mail/outbox.ts";
import type { Signer } from "../records/signer.ts";
import { asSystem, practiceIds, type SystemWork } from "./as-system.ts";
import { clearOld } from "./clear-old.ts";
import { escalate } from "./escalate.ts";
import { isNightlyDue, nightly } from "./nightly.ts";
import { compareWithNotes, noteAuditHead, type NotedHead } from "./note-audit-head.ts";
import { sweepBlobs } from "./sweep-blobs.ts";

export interface JobOptions {
  readonly db: Database;
  /** Connection URL of the role that owns nothing. */
  readonly appUrl: string;
  /** Without a pooler in between; `appUrl` when left out. */
  readonly listenUrl?: string;
  /** Epoch ms. */
  readonly now: () => number;
  readonly mail?: MailRoom;
  /** Without it letters wait in the outbox. */
  readonly mailer?: Mailer;
  readonly roads?: DriveTimesProvider;
  /** Tidied every night, and takes the signed note of each log's newest entry. */
  readonly keeping?: { readonly blobs: BlobKeeper; readonly signer: Signer };
  /** Told of the newest entry of a practice's log, every night. */
  readonly noteHead?: (practiceId: string, head: NotedHead) => void;
  /** Told of whatever goes wrong; never holds names or findings. */
  readonly log: (what: string, error: unknown) => void;
  /** Seconds between looks at the queues, at least 0.5. */
  readonly pollSeconds?: number;
}

export interface RunningJobs {
  /** Takes nothing new, lets letters under way finish, ends searches, lets go of the database. */
  readonly stop: () => Promise<void>;
  /** Looks for work in every practice now, as happens every minute. */
  readonly sweep: () => Promise<void>;
}

const SCHEMA = "jobs";
const QUEUES = { sweep: "sweep", practice: "practice", mail: "mail", plan: "plan" } as const;
const STOP_MS = 20_000;
/** The queue's connections let go of what is not answered: behind a cut line they would wait for ever. */
const LINE = { query_timeout: 60_000, keepAlive: true } as const;
/** A search that has not said anything for so long has lost its process. */
const PLAN_LOST_MS = 5 * 60_000;

const practiceJob = z.object({ practiceId: z.string() });
const planJob = practiceJob.extend({ planId: z.string() });
const change = z.object({ practiceId: z.string(), topics: z.array(z.string()) });

/**
 * Background work. What has to be done lies in the practice's own tables (letters, plans, late things);
 * the queue only says who looks when, so a lost or doubled job loses and doubles nothing. Every
 * process may run this; the queue hands each job to one of them.
 */
export const startJobs = async (options: JobOptions): Promise<RunningJobs> => {
  const { db, appUrl, now, mail, mailer, roads, log } = options;
  const pollingIntervalSeconds = options.pollSeconds ?? 2;
  const boss = new PgBoss({
    connectionString: appUrl,
    schema: SCHEMA,
    max: 4,
    // The owner's migration makes the schema; this role could not.
    migrate: false,
    createSchema: false,
    ...LINE,
  });
  boss.on("error", (error) => log("the job queue", error));
  await boss.start();
  const stopping = new AbortController();

  const toPractices = async (): Promise<void> => {
    for (const practiceId of await practiceIds(db))
      // One key a practice: what waits already is not put in line twice.
      // oxlint-disable-next-line no-await-in-loop
      await boss.send(QUEUES.practice, { practiceId }, { singletonKey: practiceId });
  };
  const sendPlan = (practiceId: string, planId: string) =>
    boss.send(QUEUES.plan, { practiceId, planId }, { singletonKey: planId });
  const sendMail = (practiceId: string) =>
    mailer === undefined
      ? Promise.resolve(null)
      : boss.send(QUEUES.mail, { practiceId }, { singletonKey: practiceId });

  const sendWaitingPlans = async (practiceId: string): Promise<void> => {
    const waiting = await asSystem(db, practiceId, now(), async ({ tx, nowMs }) => {
      await tx.horizonPlan.updateMany({
        where: { status: "running", startedAt: { lt: new Date(nowMs - PLAN_LOST_MS) } },
        data: { status: "waiting", startedAt: null },
      });
      return tx.horizonPlan.findMany({ where: { status: "waiting" }, select: { id: true } });
    });
    // oxlint-disable-next-line no-await-in-loop
    for (const { id } of waiting) await sendPlan(practiceId, id);
  };
  /** Each step stands alone and may run twice; one that fails comes again the next night. */
  const tidy = async (practiceId: string): Promise<void> => {
    const atMs = now();
    const here = <T>(act: (work: SystemWork) => Promise<T>): Promise<T> =>
      asSystem(db, practiceId, atMs, act);
    const { keeping } = options;
    const steps: Readonly<Record<string, () => Promise<void>>> = {
      "clearing what is past its term": async () => {
        // Piece by piece, each in a transaction of its own.
        // oxlint-disable-next-line no-await-in-loop
        while ((await here(clearOld)).isMore);
      },
      ...(keeping === undefined
        ? {}
        : {
            "the log against its notes": async () => {
              const { blobs, signer } = keeping;
              const faults = await here((work) => compareWithNotes(work, blobs, signer));
              for (const fault of faults)
                log("the log does not agree with its notes", new Error(fault));
              const head = await here((work) => noteAuditHead(work, blobs, signer));
              options.noteHead?.(practiceId, head);
            },
            "sweeping the store": async () => {
              await sweepBlobs(here, practiceId, keeping.blobs, atMs);
            },
          }),
    };
    for (const [what, step] of Object.entries(steps))
      // oxlint-disable-next-line no-await-in-loop
      await step().catch((error: unknown) => log(what, error));
  };
  const lookAfter = async (practiceId: string): Promise<void> => {
    await asSystem(db, practiceId, now(), escalate);
    if (await asSystem(db, practiceId, now(), isNightlyDue)) await tidy(practiceId);
    await asSystem(db, practiceId, now(), async (work) => {
      // Of two processes one waits here and then finds it done.
      await work.tx
        .$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended(${`nightly ${practiceId}`}, 0))::text`;
      if (await isNightlyDue(work)) await nightly(work, mail);
    });
    await sendWaitingPlans(practiceId);
    await sendMail(practiceId);
  };

  // `exclusive`: of one key one job waits or runs at a time.
  const queue = { policy: "exclusive", retryLimit: 3, retryDelay: 5, retryBackoff: true } as const;
  await boss.createQueue(QUEUES.sweep, { ...queue, expireInSeconds: 300 });
  await boss.createQueue(QUEUES.practice, { ...queue, expireInSeconds: 300 });
  // `short`: while one runs another may wait, so that a letter written meanwhile is not forgotten.
  await boss.createQueue(QUEUES.mail, { ...queue, policy: "short", expireInSeconds: 900 });
  await boss.createQueue(QUEUES.plan, { ...queue, expireInSeconds: 600 });

  const work = <T>(
    name: string,
    schema: z.ZodType<T>,
    act: (data: T) => Promise<void>,
    more: { readonly teamSize?: number } = {},
  ) =>
    boss.work(
      name,
      { pollingIntervalSeconds, batchSize: 1, localConcurrency: more.teamSize ?? 1 },
      async (jobs) => {
        for (const job of jobs) {
          try {
            // oxlint-disable-next-line no-await-in-loop
            await act(schema.parse(job.data));
          } catch (error) {
            log(`job ${name}`, error);
            throw error;
          }
        }
      },
    );
  await work(QUEUES.sweep, z.unknown(), toPractices);
  await work(QUEUES.practice, practiceJob, ({ practiceId }) => lookAfter(practiceId));
  if (mailer !== undefined && mail !== undefined)
    await work(QUEUES.mail, practiceJob, async ({ practiceId }) => {
      await dispatchOutbox({ db, mailer, room: mail }, practiceId, now());
    });
  await work(QUEUES.plan, planJob, ({ practiceId, planId }) =>
    runPlan(
      { db, now, ...(roads === undefined ? {} : { roads }) },
      practiceId,
      planId,
      stopping.signal,
    ),
  );
  await boss.schedule(QUEUES.sweep, "* * * * *", {}, { tz: "UTC" });

  // Hears at once of letters and plans that were just written; the sweep finds what this misses.
  const hear = async (payload: string): Promise<void> => {
    const { practiceId, topics } = change.parse(JSON.parse(payload));
    if (topics.includes("outbox")) await sendMail(practiceId);
    if (topics.includes("plans")) await sendWaitingPlans(practiceId);
  };
  const listener = await listenForChanges(options.listenUrl ?? appUrl, {
    hear: (payload) => {
      hear(payload).catch((error: unknown) => log("listening", error));
    },
    trouble: (error) => log("listening", error),
  });
  await boss.send(QUEUES.sweep, {}, { singletonKey: "all" });

  return {
    sweep: async () => {
      for (const practiceId of await practiceIds(db))
        // oxlint-disable-next-line no-await-in-loop
        await lookAfter(practiceId);
    },
    stop: async () => {
      stopping.abort();
      await listener.stop();
      await boss.stop({ graceful: true, timeout: STOP_MS });
      mailer?.close();
    },
  };
};
