/**
 * Who may do what, written down by hand from the work of each role and not from the code: vets decide
 * and sign, farriers carry out and read films and plans but medicines as names only, managers run the
 * practice, carers look after the horses of their yard, owners read about their own. A new operation
 * needs a line here.
 *
 * `any`: about nothing in particular, answered to everybody of the role. `mine`: the caller's own
 * only. `practice`: of the practice. `yard` and `horse`: whoever of the role works with it or owns it.
 */
export type Reach = "any" | "mine" | "practice" | "yard" | "horse";

const GROUPS: readonly (readonly [roles: string, reach: Reach, operations: string])[] = [
  ["owner", "any", "askAboutData listOwnHorses"],
  [
    "manager",
    "any",
    "addClosure applyCover changeSignInPolicy exportPractice invitePerson listDataRequests listInvitations removeClosure",
  ],
  ["farrier carer", "any", "removePin setPin"],
  ["farrier manager", "any", "reportDelay"],
  ["vet", "any", "adoptRepeatReadingStudy changeSetting listDrafts readMorningBoard"],
  [
    "vet manager",
    "any",
    "addHorse addYard changePostalAddress exportAuditLines exportAuditTable exportOutcomes exportResets listAudit listSettings openCase previewCover readCompliance readDriveCalibration readFormulary readOutcomes readPostalAddress readRepeatReadingStudy readSeasonLookAhead startPlan verifyAudit",
  ],
  [
    "vet manager carer",
    "any",
    "judgePhoneCall listYardDevices readCareDay takePhoneCall trustDevice",
  ],
  ["vet farrier", "any", "addOwnDevice"],
  [
    "vet farrier manager",
    "any",
    "listAbsences listClosures listOwnDevices listPlans listResets readFilmFigures readPlannerFigures readRouteDay",
  ],
  [
    "vet farrier manager carer",
    "any",
    "compareWithService listArrivals listCases listHandoffNotes listHorses listOpenLimbWatches listPeople listRedFlagCalls listYards logRedFlagCall putAside readQueue search writeHandoffNote",
  ],
  [
    "vet farrier manager carer owner",
    "any",
    "addPasskey changePassword changePreferences confirmPassword listCalendarFeeds listFactors listSessions makeCalendarFeed readPreferences readSession renewRecoveryCodes signOut startAppCode startConfirmation startPasskey",
  ],
  [
    "vet farrier manager carer owner",
    "mine",
    "confirmAppCode removeFactor revokeCalendarFeed revokeSession",
  ],
  [
    "manager",
    "practice",
    "answerDataRequest changePerson clearFactors erasePerson handOutNewPassword withdrawInvitation",
  ],
  ["farrier manager", "practice", "addAbsence setWorkingWeek withdrawAbsence"],
  ["vet manager", "practice", "adoptPlan cancelPlan readPerson readPlan"],
  ["vet manager carer", "yard", "revokeYardDevice"],
  ["vet farrier", "practice", "retireOwnDevice"],
  ["vet farrier manager", "practice", "readWorkingWeek"],
  ["manager", "yard", "setYardPeople"],
  ["vet manager", "yard", "changeYard"],
  ["vet farrier manager carer", "yard", "readYard"],
  ["owner", "horse", "askPractice consentToPlan readOwnHorse"],
  ["manager", "horse", "setHorseOwners"],
  ["farrier", "horse", "recordShoeing replyToPrescription"],
  [
    "vet",
    "horse",
    "addRadiograph answerPrescription changeCase changeCourse changeInterval changePhase changePrescription changeRadiograph closeCase compareCase declineProcedure draftCourse draftPrescription endFeedingPlan endLimbWatch examineHorse issueWrittenPrescription judgeCourseDraft judgeCourseShift judgeWrittenPrescription listLabResults listSugarTests placeLandmarks planPergolide readFilmOriginal readLabResult readLabTrends recordOtherMedicine recordPassport recordProcedure recordSingleDose releaseCourse releaseFilm reviewCourse settlePostFitFilm shiftCourse signCourse signFeedingPlan signPrescription signProcedure startMovementLadder stopCourse waiveMonitoringTask withdrawPrescription writeLearningNote",
  ],
  [
    "vet carer",
    "horse",
    "addIceEntry moveOnLadder readLedger recordDose startLimbWatch tickFirstAid",
  ],
  [
    "vet manager",
    "horse",
    "addLabResult changeHorse exportCase listRefusedRequests listWrittenPrescriptions readClearTimes readHealingCurve readStructuredReport readWrittenPrescription readWrittenPrescriptionPdf recordPlanConsent recordSupply setPlanCost startResetCycle",
  ],
  ["vet manager owner", "horse", "readMedicineRecordCsv readMedicineRecordPdf"],
  [
    "vet manager carer",
    "horse",
    "holdCourse judgeFeedingPlan listCourses listDoses listMonitoringTasks listOtherMedicines readCourse readIceLog requestDose weighHorse writeFirstAidSheet",
  ],
  ["vet manager carer owner", "horse", "readFeedingPlan readWeightCurve"],
  [
    "vet farrier",
    "horse",
    "checkLandmarks drawFilmOutline placeRepeatReading proposeTrim readSecondOpinionPack removeFilmOutline requestProcedure",
  ],
  ["vet farrier carer", "horse", "checkHorse"],
  [
    "vet farrier manager",
    "horse",
    "bookReset cancelBooking checkBooking confirmSide listFilmOutlines listLandmarkSets listPrescriptions listProcedures listRadiographs listShoeingRecords listSlots logAttempt readAnnotatedFilm readFilmPixels readFilmPreview readFilmReport readHoofGrowth readLearningNote readMeasurementsCsv readPlanPage readPrescription readRadiograph readReset readSeries sendReminder",
  ],
  [
    "vet farrier manager carer",
    "horse",
    "acknowledgeNote addDocument finishCaseTask listCaseTasks listDocuments listExaminations listFirstAidSheets listLimbWatches listWeighings readCase readCaseFile readFirstAidSheet readHorse readTimeline",
  ],
  ["vet farrier manager carer owner", "horse", "readDocumentContent readMovementLadder"],
];

/** What is expected of each operation behind the sign-in, by its id. */
export const ACCESS_TABLE: ReadonlyMap<
  string,
  { readonly roles: readonly string[]; readonly reach: Reach }
> = new Map(
  GROUPS.flatMap(([roles, reach, operations]) =>
    operations.split(" ").map((id) => [id, { roles: roles.split(" "), reach }] as const),
  ),
);
