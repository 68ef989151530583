import { ROLES, type Role } from "@heelward/domain/access";
import type { ReactNode } from "react";

export type PageComponent = () => ReactNode;

export interface Page {
  /** Below the signed-in frame; `$name` is a part of the address. */
  readonly path: string;
  readonly roles: readonly Role[];
  readonly load: () => Promise<PageComponent>;
  /** Catalogues fetched together with the code, where a page is opened often enough to be awaited. */
  readonly words?: readonly string[];
}

const STAFF: readonly Role[] = ["vet", "farrier", "manager", "carer"];
const OFFICE: readonly Role[] = ["vet", "manager"];
/** Those who read films and plans. */
const CLINICAL: readonly Role[] = ["vet", "farrier", "manager"];

const page = (
  path: string,
  roles: readonly Role[],
  load: () => Promise<PageComponent>,
  words: readonly string[] = [],
): Page => ({ path, roles, load, words });

/** Every page before the sign-in: for strangers, and for the links in e-mails. */
export const OPEN_PAGES: readonly Omit<Page, "roles">[] = [
  {
    path: "/sign-in",
    load: () => import("../features/session/sign-in-page.tsx").then((m) => m.SignInPage),
    words: ["session", "sharing"],
  },
  {
    path: "/invitation/$token",
    load: () =>
      import("../features/session/accept-invitation-page.tsx").then((m) => m.AcceptInvitationPage),
  },
  {
    path: "/new-password",
    load: () =>
      import("../features/session/new-password-page.tsx").then((m) => m.AskForNewPasswordPage),
  },
  {
    path: "/new-password/$token",
    load: () => import("../features/session/new-password-page.tsx").then((m) => m.NewPasswordPage),
  },
  {
    path: "/reminder/$token",
    load: () => import("../features/reminder/reminder-page.tsx").then((m) => m.ReminderPage),
  },
];

/**
 * Every page behind the sign-in, one line each, its code loaded when it is asked for. A page that
 * stands in `NAVIGATION` shows up in the menu once it stands here.
 */
export const PAGES: readonly Page[] = [
  page("/", ROLES, () => import("../features/queues/queue-page.tsx").then((m) => m.QueuePage), [
    "queues",
  ]),
  page("/morning", ["vet"], () =>
    import("../features/morning/morning-page.tsx").then((m) => m.MorningPage),
  ),
  page("/signing", ["vet"], () =>
    import("../features/signing/signing-page.tsx").then((m) => m.SigningPage),
  ),
  page("/outcomes", OFFICE, () =>
    import("../features/outcomes/outcomes-page.tsx").then((m) => m.OutcomesPage),
  ),
  page("/cases", STAFF, () => import("../features/cases/cases-page.tsx").then((m) => m.CasesPage)),
  page("/phone-call", ["vet", "manager", "carer"], () =>
    import("../features/cases/phone-call-page.tsx").then((m) => m.PhoneCallPage),
  ),
  page(
    "/cases/$caseId",
    STAFF,
    () => import("../features/cases/case-file-page.tsx").then((m) => m.CaseFilePage),
    ["cases", "glossary", "handoffs"],
  ),
  page("/cases/$caseId/examine", ["vet"], () =>
    import("../features/cases/examine-page.tsx").then((m) => m.ExaminePage),
  ),
  page("/cases/$caseId/first-aid", ["vet", "manager", "carer"], () =>
    import("../features/first-aid/write-sheet-page.tsx").then((m) => m.WriteSheetPage),
  ),
  page("/cases/$caseId/similar", ["vet"], () =>
    import("../features/compare-cases/compare-page.tsx").then((m) => m.CompareCasesPage),
  ),
  page("/cases/$caseId/learning", CLINICAL, () =>
    import("../features/learning/learning-page.tsx").then((m) => m.LearningPage),
  ),
  page("/first-aid-sheets/$sheetId", STAFF, () =>
    import("../features/first-aid/sheet-page.tsx").then((m) => m.SheetPage),
  ),
  page("/handoffs", STAFF, () =>
    import("../features/handoffs/handoffs-page.tsx").then((m) => m.HandoffsPage),
  ),
  page("/horses", STAFF, () =>
    import("../features/horses/horses-page.tsx").then((m) => m.HorsesPage),
  ),
  page("/horses/new", OFFICE, () =>
    import("../features/horses/new-horse-page.tsx").then((m) => m.NewHorsePage),
  ),
  page("/horses/$horseId", STAFF, () =>
    import("../features/horses/horse-page.tsx").then((m) => m.HorsePage),
  ),
  page("/horses/$horseId/watches", STAFF, () =>
    import("../features/watches/watches-page.tsx").then((m) => m.WatchesPage),
  ),
  page("/yards", STAFF, () => import("../features/yards/yards-page.tsx").then((m) => m.YardsPage)),
  page("/yards/new", OFFICE, () =>
    import("../features/yards/new-yard-page.tsx").then((m) => m.NewYardPage),
  ),
  page("/yards/$yardId", STAFF, () =>
    import("../features/yards/yard-page.tsx").then((m) => m.YardPage),
  ),
  page("/people", STAFF, () =>
    import("../features/people/people-page.tsx").then((m) => m.PeoplePage),
  ),
  page("/resets", ["vet", "farrier", "manager"], () =>
    import("../features/resets/resets-page.tsx").then((m) => m.ResetsPage),
  ),
  page("/resets/$resetId", ["vet", "farrier", "manager"], () =>
    import("../features/resets/reset-page.tsx").then((m) => m.ResetPage),
  ),
  page("/planning", OFFICE, () =>
    import("../features/planning/planning-page.tsx").then((m) => m.PlanningPage),
  ),
  page("/planning/$planId", OFFICE, () =>
    import("../features/planning/plan-page.tsx").then((m) => m.PlanPage),
  ),
  page("/rota", CLINICAL, () => import("../features/rota/rota-page.tsx").then((m) => m.RotaPage)),
  page("/calendar", ROLES, () =>
    import("../features/calendar/calendar-page.tsx").then((m) => m.CalendarPage),
  ),
  page("/routes", ["farrier", "vet", "manager"], () =>
    import("../features/routes/routes-page.tsx").then((m) => m.RoutesPage),
  ),
  page("/cases/$caseId/procedures", STAFF, () =>
    import("../features/procedures/procedures-page.tsx").then((m) => m.ProceduresPage),
  ),
  page("/own-devices", CLINICAL, () =>
    import("../features/prescriptions/devices/devices-page.tsx").then((m) => m.DevicesPage),
  ),
  page("/cases/$caseId/films", CLINICAL, () =>
    import("../features/radiographs/film-list-page.tsx").then((m) => m.FilmListPage),
  ),
  page("/cases/$caseId/films/new", ["vet"], () =>
    import("../features/radiographs/upload-film-page.tsx").then((m) => m.UploadFilmPage),
  ),
  page("/cases/$caseId/films/compare", CLINICAL, () =>
    import("../features/radiographs/compare-page.tsx").then((m) => m.ComparePage),
  ),
  page("/cases/$caseId/measures", CLINICAL, () =>
    import("../features/radiographs/series-page.tsx").then((m) => m.SeriesPage),
  ),
  page("/films/$radiographId", CLINICAL, () =>
    import("../features/radiographs/film-page.tsx").then((m) => m.FilmPage),
  ),
  page("/films/$radiographId/second-reading", ["vet", "farrier"], () =>
    import("../features/radiographs/second-reading-page.tsx").then((m) => m.SecondReadingPage),
  ),
  page("/film-study", OFFICE, () =>
    import("../features/radiographs/study-page.tsx").then((m) => m.StudyPage),
  ),
  page("/medication/$horseId", ["vet", "manager", "carer"], () =>
    import("../features/medication/medication-page.tsx").then((m) => m.MedicationPage),
  ),
  page("/medication/$horseId/new", ["vet"], () =>
    import("../features/medication/course-builder-page.tsx").then((m) => m.NewCoursePage),
  ),
  page("/courses/$courseId", ["vet", "manager", "carer"], () =>
    import("../features/medication/course-page.tsx").then((m) => m.CoursePage),
  ),
  page("/courses/$courseId/change", ["vet"], () =>
    import("../features/medication/course-builder-page.tsx").then((m) => m.ChangeCoursePage),
  ),
  page("/courses/$courseId/written-prescription", ["vet"], () =>
    import("../features/medication/write-prescription-page.tsx").then(
      (m) => m.WritePrescriptionPage,
    ),
  ),
  page("/written-prescriptions/$prescriptionId", OFFICE, () =>
    import("../features/medication/written-page.tsx").then((m) => m.WrittenPrescriptionPage),
  ),
  page("/monitoring/$horseId", ["vet", "manager", "carer"], () =>
    import("../features/monitoring/monitoring-page.tsx").then((m) => m.MonitoringPage),
  ),
  page("/season", OFFICE, () =>
    import("../features/monitoring/season-page.tsx").then((m) => m.SeasonPage),
  ),
  page("/recovery/$horseId", STAFF, () =>
    import("../features/metabolic/recovery-page.tsx").then((m) => m.RecoveryPage),
  ),
  page("/portal/$horseId/recovery", ["owner"], () =>
    import("../features/metabolic/recovery-page.tsx").then((m) => m.OwnerRecoveryPage),
  ),
  page("/care", ["carer", "vet", "manager"], () =>
    import("../features/care/care-page.tsx").then((m) => m.CarePage),
  ),
  page("/care/$horseId/door-card", ["carer", "vet", "manager"], () =>
    import("../features/care/door-card-page.tsx").then((m) => m.DoorCardPage),
  ),
  page("/care/$horseId/check", ["carer", "vet", "farrier"], () =>
    import("../features/care/check-page.tsx").then((m) => m.CheckPage),
  ),
  page("/laboratory/$horseId", ["vet"], () =>
    import("../features/laboratory/laboratory-page.tsx").then((m) => m.LaboratoryPage),
  ),
  page(
    "/portal",
    ["owner"],
    () => import("../features/portal/owner-horses-page.tsx").then((m) => m.OwnerHorsesPage),
    ["portal"],
  ),
  page(
    "/portal/$horseId",
    ["owner"],
    () => import("../features/portal/owner-horse-page.tsx").then((m) => m.OwnerHorsePage),
    ["portal", "glossary"],
  ),
  page("/audit", OFFICE, () => import("../features/audit/audit-page.tsx").then((m) => m.AuditPage)),
  page("/settings", OFFICE, () =>
    import("../features/settings/settings-page.tsx").then((m) => m.SettingsPage),
  ),
  page("/cases/$caseId/prescriptions", CLINICAL, () =>
    import("../features/prescriptions/prescription-list-page.tsx").then(
      (m) => m.PrescriptionListPage,
    ),
  ),
  page("/cases/$caseId/prescriptions/new", ["vet"], () =>
    import("../features/prescriptions/new-prescription-page.tsx").then(
      (m) => m.NewPrescriptionPage,
    ),
  ),
  page("/prescriptions/$prescriptionId", CLINICAL, () =>
    import("../features/prescriptions/prescription-page.tsx").then((m) => m.PrescriptionPage),
  ),
  page("/shoeing/$horseId", CLINICAL, () =>
    import("../features/shoeing/shoeing-page.tsx").then((m) => m.ShoeingPage),
  ),
  page("/shoeing/$horseId/records/$recordId", CLINICAL, () =>
    import("../features/shoeing/record-page.tsx").then((m) => m.RecordPage),
  ),
  page("/day", ["farrier"], () => import("../features/day/day-page.tsx").then((m) => m.DayPage)),
  page("/outbox", ["vet", "farrier", "manager", "carer"], () =>
    import("../features/day/outbox-page.tsx").then((m) => m.OutboxPage),
  ),
  page("/devices", ROLES, () =>
    import("../features/session/devices-page.tsx").then((m) => m.DevicesPage),
  ),
  page("/components", ROLES, () => import("./components-page.tsx").then((m) => m.ComponentsPage)),
];
