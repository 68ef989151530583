import type { calendarFeed } from "@heelward/contracts";
import type { z } from "zod";
import type { Dependencies } from "../../app.ts";
import { enterPractice, setRoles, whileSigningIn } from "../../database/client.ts";
import { isoOrNull } from "../../http/dates.ts";
import { newId } from "../../http/new-id.ts";
import { notFound, Problem } from "../../http/problem.ts";
import type { Bytes } from "../../http/route.ts";
import type { Work } from "../../http/work.ts";
import { sha256Hex } from "../../records/canonical.ts";
import { newSecret } from "../session/tokens.ts";
import { datesOf } from "./dates.ts";
import { follow } from "./entries.ts";
import { renderCalendar } from "./render.ts";

type Feed = z.input<typeof calendarFeed>;
interface FeedRow {
  readonly id: string;
  readonly label: string;
  readonly createdAt: Date;
  readonly lastReadAt: Date | null;
  readonly revokedAt: Date | null;
}

const MOST_FEEDS = 10;

const view = (row: FeedRow): Feed => ({
  id: row.id,
  label: row.label,
  createdAt: row.createdAt.toISOString(),
  lastReadAt: isoOrNull(row.lastReadAt),
  revokedAt: isoOrNull(row.revokedAt),
});

export const list = async ({ tx, actor }: Work) => ({
  items: (
    await tx.calendarFeed.findMany({
      where: { personId: actor.personId },
      orderBy: [{ createdAt: "desc" }, { id: "desc" }],
    })
  ).map(view),
});

/** A secret address of 256 bits; only its hash is kept. */
export const make = async (work: Work, label: string) => {
  const { tx, actor, nowMs } = work;
  const held = await tx.calendarFeed.count({
    where: { personId: actor.personId, revokedAt: null },
  });
  if (held >= MOST_FEEDS)
    throw new Problem("conflict", `${MOST_FEEDS} addresses are in use; take one back first.`);
  const { secret, hash } = newSecret();
  const row = await tx.calendarFeed.create({
    data: {
      practiceId: actor.practiceId,
      id: newId(),
      personId: actor.personId,
      tokenHash: hash,
      label,
      createdAt: new Date(nowMs),
    },
  });
  work.audit({
    event: "calendar.opened",
    subjectType: "person",
    subjectId: actor.personId,
    horseId: null,
    payload: { feedId: row.id },
  });
  return { ...view(row), link: `/api/v1/calendar/${secret}.ics` };
};

export const revoke = async (work: Work, id: string): Promise<null> => {
  const { count } = await work.tx.calendarFeed.updateMany({
    where: { id, personId: work.actor.personId, revokedAt: null },
    data: { revokedAt: new Date(work.nowMs) },
  });
  if (count === 0) throw notFound("calendar address");
  work.audit({
    event: "calendar.revoked",
    subjectType: "person",
    subjectId: work.actor.personId,
    horseId: null,
    payload: { feedId: id },
  });
  return null;
};

/** The calendar behind an address: what its person may see now, and nothing once they have left. */
export const readFeed = ({ db }: Dependencies, token: string, nowMs: number): Promise<Bytes> =>
  whileSigningIn(db, async (tx) => {
    const hash = sha256Hex(token.replace(/\.ics$/u, ""));
    const feed = await tx.calendarFeed.findFirst({ where: { tokenHash: hash, revokedAt: null } });
    if (feed === null) throw notFound("calendar");
    const { practiceId, personId } = feed;
    await enterPractice(tx, { practiceId, personId, roles: ["system"] });
    const person = await tx.person.findFirst({ where: { id: personId, status: "active" } });
    if (person === null) throw notFound("calendar");
    await tx.calendarFeed.updateMany({
      where: { id: feed.id },
      data: { lastReadAt: new Date(nowMs) },
    });
    await setRoles(tx, person.roles);
    const dates = await datesOf({ tx, nowMs }, { id: person.id, roles: person.roles });
    const entries = await follow(tx, practiceId, personId, dates, nowMs);
    const practice = await tx.practice.findFirstOrThrow({});
    return {
      bytes: new TextEncoder().encode(renderCalendar(practice.name, entries)),
      mediaType: "text/calendar; charset=utf-8",
    };
  });
