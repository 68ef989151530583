export { askProcess, type ProcessAnswer, type ProcessQuestion } from "./ask-process.ts";
export { defaultWorkerLimits, readFilmInWorker, type WorkerLimits } from "./read-film-in-worker.ts";
