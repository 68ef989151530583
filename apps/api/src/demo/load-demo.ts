import { join } from "node:path";
import type { Role } from "@heelward/domain/access";
import type { InstantMs } from "@heelward/domain/time";
import pg from "pg";
import type { Dependencies } from "../app.ts";
import { folderBlobStore } from "../blobs/blob-store.ts";
import { connect } from "../database/client.ts";
import { loadOrCreateSecrets } from "../database/secrets.ts";
import type { Actor } from "../http/actor.ts";
import { createSigner } from "../records/signer.ts";
import { calendarFor } from "./calendar.ts";
import { tellOfOpenings, tellOfPhases } from "./cases.ts";
import { PRACTICE } from "./data/practice.ts";
import { openDesk } from "./desk.ts";
import { openDrawingBoard } from "./drawing-board.ts";
import { tellOfLabs, tellOfScores, tellOfWeights } from "./examinations.ts";
import { tellOfFilms } from "./films.ts";
import { tellOfLastDays } from "./last-days.ts";
import { tellOfCourses, tellOfVeinDoses } from "./medicines.ts";
import { tellOfReading } from "./notes.ts";
import {
  DEMO_PASSWORD,
  emailOf,
  foundPractice,
  tellOfCover,
  tellOfHorses,
  tellOfPeople,
} from "./people.ts";
import { tellOfPlans } from "./plans.ts";
import { tellOfRecovery } from "./recovery.ts";
import { tellOfResets } from "./resets.ts";
import { tellOfWeeks } from "./rota.ts";
import { emptyRegister, playInOrder, type StoryEvent, type Telling } from "./story.ts";
import { tellOfWorkedCases } from "./worked-cases.ts";

/** What the start prints so that a stranger can look around. */
export interface DemoSummary {
  readonly practiceName: string;
  readonly signIns: readonly {
    readonly role: string;
    readonly email: string;
    readonly password: string;
  }[];
}

export interface DemoOptions {
  /** Connection URL of the schema's owner, for the practice and its first two people. */
  readonly ownerUrl: string;
  /** Connection URL of the role the service works under, for everything else. */
  readonly appUrl: string;
  readonly dataDir: string;
  readonly nowMs: InstantMs;
}

/** One good person of each role first: with the most to do on the last day. */
const FIRST_TO_TRY: readonly (readonly [id: string, role: Role])[] = [
  ["V1", "vet"],
  ["F2", "farrier"],
  ["M1", "manager"],
  ["C4", "carer"],
  ["O09", "owner"],
];

const summaryOf = (actors: ReadonlyMap<string, Actor>): DemoSummary => {
  const signIn = (actor: Actor) => ({
    role: actor.roles[0] ?? "",
    email: emailOf(actor.name),
    password: DEMO_PASSWORD,
  });
  const first = FIRST_TO_TRY.flatMap(([id]) => actors.get(id) ?? []);
  const others = [...actors.values()].filter((actor) => !first.includes(actor));
  return { practiceName: PRACTICE.name, signIns: [...first, ...others].map(signIn) };
};

/**
 * Loads the invented practice with a year of its life through the services, as its people, at the
 * times it happened, so that every rule that binds real input binds the demo too. What the rules
 * refuse stays refused and on record. Lets go of its connections before it returns.
 */
export const loadDemo = async ({
  ownerUrl,
  appUrl,
  dataDir,
  nowMs,
}: DemoOptions): Promise<DemoSummary> => {
  const secrets = loadOrCreateSecrets(dataDir);
  const db = connect(appUrl, 4);
  const client = new pg.Client({ connectionString: ownerUrl });
  await client.connect();
  const board = openDrawingBoard();
  try {
    const dependencies: Dependencies = {
      db,
      blobs: folderBlobStore(join(dataDir, "blobs")),
      signer: createSigner(secrets.signingSeedHex),
      secrets,
      now: () => nowMs,
    };
    const calendar = calendarFor(nowMs);
    const actors = new Map<string, Actor>();
    const register = emptyRegister();
    const events: StoryEvent[] = [];
    const telling: Telling = {
      calendar,
      perform: openDesk(dependencies, actors),
      register,
      tell: (atMs, what, run, horse) =>
        void events.push({ atMs, what, run, ...(horse === undefined ? {} : { horse }) }),
    };
    const practiceId = await foundPractice(
      ownerUrl,
      calendar.at("2025-10-13", "08:00"),
      actors,
      register,
    );
    tellOfPeople(telling, dependencies, practiceId, actors);
    tellOfCover(telling);
    tellOfHorses(telling);
    tellOfOpenings(telling);
    tellOfWeights(telling);
    tellOfPhases(telling);
    tellOfScores(telling);
    tellOfFilms(telling, board);
    tellOfLabs(telling);
    tellOfWorkedCases(telling);
    tellOfPlans(telling);
    tellOfResets(telling);
    tellOfWeeks(telling);
    tellOfCourses(telling);
    tellOfVeinDoses(telling);
    tellOfRecovery(telling);
    tellOfLastDays(telling);
    tellOfReading(telling, client);
    await playInOrder(events, nowMs);
    return summaryOf(actors);
  } finally {
    await board.close();
    await client.end();
    await db.$disconnect();
  }
};
