import {
  changeCourse,
  draftCourse,
  holdCourse,
  judgeCourseDraft,
  judgeCourseShift,
  listCourses,
  listDoses,
  listRefusedRequests,
  readCareDay,
  readCourse,
  readFormulary,
  readLedger,
  recordDose,
  recordSingleDose,
  releaseCourse,
  requestDose,
  reviewCourse,
  shiftCourse,
  signCourse,
  stopCourse,
} from "@heelward/contracts";
import type { FastifyInstance } from "fastify";
import type { Dependencies } from "../../app.ts";
import { route } from "../../http/route.ts";
import * as careDay from "./care-day.ts";
import * as courses from "./courses.ts";
import * as doses from "./doses.ts";
import * as formulary from "./formulary.ts";
import * as requests from "./requests.ts";
import * as running from "./running-courses.ts";
import * as shifts from "./shift-course.ts";

const courseRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, judgeCourseDraft, (work, { params, body }) =>
    courses.judge(work, params.horseId, body),
  );
  route(app, dependencies, listCourses, (work, { params, query }) =>
    courses.list(work, params.horseId, query),
  );
  route(app, dependencies, readCourse, (work, { params }) => courses.read(work, params.courseId));
  route(app, dependencies, draftCourse, (work, { params, body }) =>
    courses.draft(work, params.horseId, body),
  );
  route(app, dependencies, changeCourse, (work, { params, body, version }) =>
    courses.change(work, params.courseId, version, body),
  );
  route(app, dependencies, signCourse, (work, { params, body, version }) =>
    courses.sign(work, params.courseId, version, body),
  );
  route(app, dependencies, reviewCourse, (work, { params, body, version }) =>
    running.review(work, params.courseId, version, body),
  );
  route(app, dependencies, judgeCourseShift, (work, { params, body }) =>
    shifts.check(work, params.courseId, body.byMinutes),
  );
  route(app, dependencies, shiftCourse, (work, { params, body, version }) =>
    shifts.shift(work, params.courseId, version, body),
  );
  route(app, dependencies, holdCourse, (work, { params, body, version }) =>
    running.hold(work, params.courseId, version, body.reason),
  );
  route(app, dependencies, releaseCourse, (work, { params, body, version }) =>
    running.release(work, params.courseId, version, body.reason),
  );
  route(app, dependencies, stopCourse, (work, { params, body, version }) =>
    running.stop(work, params.courseId, version, body.reason),
  );
};

export const medicationRoutes = (app: FastifyInstance, dependencies: Dependencies): void => {
  route(app, dependencies, readFormulary, (work) => formulary.read(work));
  courseRoutes(app, dependencies);
  route(app, dependencies, recordDose, (work, { params, body }) =>
    doses.give(work, params.courseId, body),
  );
  route(app, dependencies, recordSingleDose, (work, { params, body }) =>
    doses.giveSingle(work, params.horseId, body),
  );
  route(app, dependencies, listDoses, (work, { params, query }) =>
    doses.list(work, params.horseId, query),
  );
  route(app, dependencies, readLedger, (work, { params }) =>
    doses.readLedger(work, params.horseId),
  );
  route(app, dependencies, requestDose, (work, { params, body }) =>
    requests.request(work, params.horseId, body),
  );
  route(app, dependencies, listRefusedRequests, (work, { params, query }) =>
    requests.listRefused(work, params.horseId, query),
  );
  route(app, dependencies, readCareDay, (work, { params, query }) =>
    careDay.readCareDay(work, params.date, query.yardId),
  );
};
