import type { FeedingPlan } from "@heelward/domain/metabolic";
import type { FindingView, PersonRef } from "@heelward/contracts";
import { Prisma, type Transaction } from "../../database/client.ts";

/** What the vet asked for, as stored with the ration. */
export interface StoredFeedingRequest {
  readonly weightKg: number;
  readonly dryMatterPercent: number;
  readonly forage: "hay" | "haylage";
  readonly dryShare: number;
  readonly soakHours: number | null;
  readonly grazing: boolean;
  readonly activePhase: boolean;
}

export interface FeedingRow {
  readonly id: string;
  readonly horse: PersonRef;
  readonly caseId: string | null;
  readonly request: StoredFeedingRequest;
  readonly plan: FeedingPlan;
  readonly findings: readonly FindingView[];
  readonly targetWeightKg: number | null;
  readonly instructions: string | null;
  readonly startsOn: string;
  readonly signedBy: PersonRef;
  readonly signedAt: Date;
  readonly signature: string;
  readonly endedAt: Date | null;
  readonly endReason: string | null;
  readonly version: number;
}

/** Rations, newest first; `current` leaves only the one in force. */
export const findFeedingPlans = (
  tx: Transaction,
  filter: { readonly id?: string; readonly horseId?: string; readonly current?: boolean },
): Promise<FeedingRow[]> => tx.$queryRaw<FeedingRow[]>`
  SELECT f.id, json_build_object('id', h.id, 'name', h.name) AS horse, f.case_id AS "caseId", f.request, f.plan, f.findings, f.target_weight_kg AS "targetWeightKg",
    f.instructions, f.starts_on::text AS "startsOn", json_build_object('id', p.id, 'name', p.name) AS "signedBy", f.signed_at AS "signedAt", f.signature,
    f.ended_at AS "endedAt", f.end_reason AS "endReason", f.version
  FROM feeding_plans f JOIN horses h ON h.practice_id = f.practice_id AND h.id = f.horse_id JOIN people p ON p.practice_id = f.practice_id AND p.id = f.signed_by
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`f.id = ${filter.id}::uuid`}
    AND ${filter.horseId === undefined ? Prisma.sql`true` : Prisma.sql`f.horse_id = ${filter.horseId}::uuid`}
    AND ${filter.current === true ? Prisma.sql`f.ended_at IS NULL` : Prisma.sql`true`}
  ORDER BY f.signed_at DESC, f.id DESC LIMIT 200`;

/** Stages as the vet set them. */
export interface StoredStage {
  readonly name: string;
  readonly leastDays: number;
  readonly stopRules: readonly string[];
}

export interface LadderRow {
  readonly id: string;
  readonly horse: PersonRef;
  readonly horseId: string;
  readonly caseId: string;
  readonly stages: readonly StoredStage[];
  readonly stageIndex: number;
  readonly stageSince: string;
  readonly moves: readonly {
    readonly at: string;
    readonly by: PersonRef;
    readonly from: number;
    readonly to: number;
    readonly reason: string;
  }[];
  readonly status: "live" | "ended";
  readonly version: number;
}

/** Ladders, the live one first. */
export const findLadders = (
  tx: Transaction,
  filter: { readonly id?: string; readonly horseId?: string; readonly live?: boolean },
): Promise<LadderRow[]> => tx.$queryRaw<LadderRow[]>`
  SELECT l.id, json_build_object('id', h.id, 'name', h.name) AS horse, l.horse_id AS "horseId", l.case_id AS "caseId", l.stages, l.stage_index AS "stageIndex",
    l.stage_since::text AS "stageSince", l.moves, l.status, l.version
  FROM movement_ladders l JOIN horses h ON h.practice_id = l.practice_id AND h.id = l.horse_id
  WHERE ${filter.id === undefined ? Prisma.sql`true` : Prisma.sql`l.id = ${filter.id}::uuid`}
    AND ${filter.horseId === undefined ? Prisma.sql`true` : Prisma.sql`l.horse_id = ${filter.horseId}::uuid`}
    AND ${filter.live === true ? Prisma.sql`l.status = 'live'` : Prisma.sql`true`}
  ORDER BY (l.status = 'live') DESC, l.started_at DESC, l.id DESC LIMIT 50`;

export interface IceRow {
  readonly id: string;
  readonly fromAt: Date;
  readonly toAt: Date;
  readonly hoofCelsius: number | null;
  readonly feet: readonly string[];
  readonly recordedBy: PersonRef;
  readonly note: string | null;
}

/** Times on ice, oldest first. */
export const findIce = (
  tx: Transaction,
  horseId: string,
  since: Date,
): Promise<IceRow[]> => tx.$queryRaw<IceRow[]>`
  SELECT i.id, i.from_at AS "fromAt", i.to_at AS "toAt", i.hoof_celsius AS "hoofCelsius", i.feet, json_build_object('id', p.id, 'name', p.name) AS "recordedBy", i.note
  FROM ice_entries i JOIN people p ON p.practice_id = i.practice_id AND p.id = i.recorded_by
  WHERE i.horse_id = ${horseId}::uuid AND i.to_at >= ${since} ORDER BY i.from_at, i.id`;

export interface ScoreRow {
  readonly horseId: string;
  readonly caseId: string | null;
  readonly at: Date;
  readonly score: number | null;
  readonly bodyCondition: number | null;
  readonly crestyNeck: number | null;
  readonly isRedFlag: boolean;
}

/** Five-sign scores, condition and red flags of horses, oldest first. */
export const findScores = (
  tx: Transaction,
  horseIds: readonly string[],
): Promise<ScoreRow[]> => tx.$queryRaw<ScoreRow[]>`
  SELECT horse_id AS "horseId", case_id AS "caseId", examined_at AS at, five_sign_score AS score, body_condition AS "bodyCondition", cresty_neck AS "crestyNeck", is_red_flag AS "isRedFlag"
  FROM examinations WHERE horse_id = ANY (${[...horseIds]}::uuid[]) ORDER BY examined_at, id`;
