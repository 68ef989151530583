import { connect, type Database } from "../../apps/api/src/database/client.ts";
import { startJobs, type RunningJobs } from "../../apps/api/src/jobs/start-jobs.ts";
import { smtpMailer, type Mailer } from "../../apps/api/src/mail/mailer.ts";
import { TEST_MAIL, type TestService } from "./service.ts";

export const SENDER = "Test Practice <desk@practice.invalid>";

/** Background work beside a test service, on a connection of its own. */
export interface Background {
  readonly db: Database;
  readonly mailer: Mailer | undefined;
  readonly errors: readonly unknown[];
  readonly jobs: RunningJobs;
  readonly stop: () => Promise<void>;
}

export const startBackground = async (
  service: TestService,
  smtpUrl?: string,
  now: () => number = service.now,
): Promise<Background> => {
  const db = connect(service.appUrl, 5);
  const mailer = smtpUrl === undefined ? undefined : smtpMailer(smtpUrl, SENDER);
  const errors: unknown[] = [];
  const jobs = await startJobs({
    db,
    appUrl: service.appUrl,
    now,
    mail: TEST_MAIL,
    ...(mailer === undefined ? {} : { mailer }),
    log: (what, error) => errors.push([what, error]),
    pollSeconds: 0.5,
  });
  return {
    db,
    mailer,
    errors,
    jobs,
    stop: async () => {
      await jobs.stop();
      await db.$disconnect();
    },
  };
};

/** Asks again until the answer is there; fails after a while with the last answer. */
export const until = async <T>(
  ask: () => Promise<T>,
  isThere: (answer: T) => boolean,
  withinMs = 20_000,
): Promise<T> => {
  const endsAt = performance.now() + withinMs;
  for (;;) {
    // Each question waits for the last answer.
    // oxlint-disable-next-line no-await-in-loop
    const answer = await ask();
    if (isThere(answer)) return answer;
    if (performance.now() > endsAt)
      throw new Error(`waited in vain; the last answer was ${JSON.stringify(answer)}`);
    // oxlint-disable-next-line no-await-in-loop
    await new Promise((resolve) => {
      setTimeout(resolve, 50);
    });
  }
};
