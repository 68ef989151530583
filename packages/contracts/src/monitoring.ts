import { z } from "zod";
import { operation } from "./operation.ts";
import { id, line, localDate, prose, source } from "./primitives.ts";

const horseId = z.strictObject({ horseId: id });

export const monitoringTask = z
  .object({
    key: z.string(),
    kind: z.enum(["blood", "weigh", "condition", "watch", "season", "rethink"]),
    horse: z.object({ id, name: z.string() }),
    courseId: id.nullable(),
    title: z.string(),
    why: z.string(),
    tests: z.array(z.string()),
    missing: z.array(z.string()).describe("tests without a result yet"),
    opensOn: localDate,
    dueOn: localDate,
    state: z.enum(["later", "due", "late", "done", "waived", "lapsed"]),
    doneOn: localDate.nullable(),
    waivedBecause: z.string().nullable(),
    lapsedBecause: z
      .string()
      .nullable()
      .describe("why a test that nobody took is not asked for any more"),
    source,
  })
  .meta({ id: "MonitoringTask" });
export type MonitoringTaskView = z.infer<typeof monitoringTask>;

export const listMonitoringTasks = operation({
  id: "listMonitoringTasks",
  method: "GET",
  path: "/horses/:horseId/monitoring-tasks",
  tag: "monitoring",
  access: ["vet", "manager", "carer"],
  status: 200,
  summary: "Blood tests, weighings and checks a horse's courses, hormones and season ask for",
  params: horseId,
  response: z.object({ items: z.array(monitoringTask) }),
});
export const waiveMonitoringTask = operation({
  id: "waiveMonitoringTask",
  method: "POST",
  path: "/horses/:horseId/monitoring-waivers",
  tag: "monitoring",
  access: ["vet"],
  status: 201,
  summary: "A vet sets a task aside with a written reason",
  params: horseId,
  body: z.strictObject({ taskKey: line(200), reason: prose(1000) }),
  response: monitoringTask,
});
export const readSeasonLookAhead = operation({
  id: "readSeasonLookAhead",
  method: "GET",
  path: "/season-look-ahead",
  tag: "monitoring",
  access: ["vet", "manager"],
  status: 200,
  summary: "What the season asks for on a day, horse by horse",
  query: z.strictObject({ on: localDate.optional() }),
  response: z.object({
    on: localDate,
    items: z.array(monitoringTask),
    nextHormoneSeasonOn: localDate
      .nullable()
      .describe("next day on which hormone tests open, first of the yards; null without horses"),
  }),
});
export const readLabTrends = operation({
  id: "readLabTrends",
  method: "GET",
  path: "/horses/:horseId/lab-trends",
  tag: "laboratory",
  access: ["vet"],
  status: 200,
  summary:
    "Each test over time in one unit, against the horse's own first value, with a falling flag",
  params: horseId,
  response: z.object({
    series: z.array(
      z.object({
        test: z.string(),
        unit: z.string(),
        points: z.array(
          z.object({
            resultId: id,
            takenOn: localDate,
            value: z.number(),
            rangeLow: z.number().nullable(),
            rangeHigh: z.number().nullable(),
          }),
        ),
        level: z.enum(["none", "amber", "red"]),
        falling: z.boolean(),
        changePercent: z.number().nullable().describe("of the latest value on the first"),
        text: z.string(),
        source,
      }),
    ),
  }),
});
