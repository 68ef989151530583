import type {
  CaseFile,
  DocumentView,
  Prescription,
  RouteDay,
  SessionView,
} from "@heelward/contracts";
import { addressOf } from "../api/client.ts";
import { toProblem } from "../api/problem-error.ts";
import { todayIn } from "../language/format.ts";
import { readMeta, writeMeta } from "./database.ts";
import { dropOlder, keepAnswer, TAKE_ALONG } from "./kept-answers.ts";
import { compare } from "./run-sync.ts";
import { type KeptDay, setOffline } from "./state.ts";
import { ensureKey, renewKey } from "./vault.ts";

/** As the route page asks for it when nobody chose another start. */
const FIRST_START = "08:00";
const AT_ONCE = 4;
const FEET = ["LF", "RF", "LH", "RH"] as const;

class Full extends Error {}

const isFull = (error: unknown): boolean =>
  error instanceof DOMException && error.name === "QuotaExceededError";

/** Asks for one address past the stored copy and keeps the answer; gives its bytes' size. */
const take = async (
  address: string,
): Promise<{ readonly json: unknown; readonly size: number }> => {
  const response = await fetch(address, { cache: "reload", headers: { [TAKE_ALONG]: "yes" } });
  if (!response.ok) throw await toProblem(response);
  const mediaType = response.headers.get("content-type") ?? "application/octet-stream";
  const bytes = await response.arrayBuffer();
  try {
    await keepAnswer(address, bytes, mediaType);
  } catch (error) {
    if (isFull(error)) throw new Full(undefined, { cause: error });
    throw error;
  }
  return {
    json: mediaType.includes("json") ? JSON.parse(new TextDecoder().decode(bytes)) : undefined,
    size: bytes.byteLength,
  };
};

/** One piece of work: an address, and what its answer makes necessary. */
interface Piece {
  readonly address: string;
  /** The horse it belongs to; undefined for what the whole day needs. */
  readonly horse?: string;
  /** What many roles may not see, or what may not be there: its absence is no fault of the day. */
  readonly isExtra?: boolean;
  readonly leadsTo?: (json: unknown) => readonly Piece[];
}

const filmPieces = (horse: string, radiographId: string): readonly Piece[] => [
  { address: addressOf("readRadiograph", { params: { radiographId } }), horse, isExtra: true },
  { address: addressOf("listLandmarkSets", { params: { radiographId } }), horse, isExtra: true },
  { address: addressOf("listFilmOutlines", { params: { radiographId } }), horse, isExtra: true },
  { address: addressOf("readFilmPreview", { params: { radiographId } }), horse, isExtra: true },
  { address: addressOf("readFilmPixels", { params: { radiographId } }), horse, isExtra: true },
];

/** The newest photo of each view, to take the next one from the same place. */
const lastPhotos = (documents: readonly DocumentView[]): readonly DocumentView[] => {
  const photos = documents.filter((one) => one.kind === "photo");
  return photos
    .filter(
      (one, index) => photos.findIndex((other) => other.photoView === one.photoView) === index,
    )
    .slice(0, 8);
};

const caseFilePieces =
  (horse: string) =>
  (json: unknown): readonly Piece[] => {
    const file = json as CaseFile;
    const current = file.prescriptions.filter((plan) => plan.isCurrent);
    const films = new Set(current.flatMap((plan) => plan.radiographIds));
    // Films that are measured and not yet in a plan are looked at as well: the newest of each foot.
    for (const foot of FEET) {
      const newest = file.radiographs.find((film) => film.foot === foot);
      if (newest !== undefined) films.add(newest.id);
    }
    for (const film of file.radiographs) if (film.latestSet !== null) films.add(film.id);
    return [
      ...current.map((plan: Prescription) => ({
        address: addressOf("readPrescription", { params: { prescriptionId: plan.id } }),
        horse,
      })),
      ...lastPhotos(file.documents).map((photo) => ({
        address: addressOf("readDocumentContent", { params: { documentId: photo.id } }),
        horse,
        isExtra: true,
      })),
      ...[...films].flatMap((id) => filmPieces(horse, id)),
    ];
  };

const horsePieces = (horse: RouteDay["stops"][number]["horses"][number]): readonly Piece[] => {
  const params = { horseId: horse.id };
  const { name, caseId } = horse;
  return [
    { address: addressOf("readHorse", { params }), horse: name },
    {
      address: addressOf("listShoeingRecords", { params, query: { limit: 100 } }),
      horse: name,
    },
    { address: addressOf("readHoofGrowth", { params }), horse: name, isExtra: true },
    {
      address: addressOf("listDocuments", { params, query: { limit: 100 } }),
      horse: name,
      leadsTo: (json) =>
        lastPhotos((json as { items: DocumentView[] }).items).map((photo) => ({
          address: addressOf("readDocumentContent", { params: { documentId: photo.id } }),
          horse: name,
          isExtra: true,
        })),
    },
    ...(horse.prescriptionId === null
      ? []
      : [
          {
            address: addressOf("readPrescription", {
              params: { prescriptionId: horse.prescriptionId },
            }),
            horse: name,
          },
        ]),
    ...(caseId === null
      ? []
      : [
          { address: addressOf("readCase", { params: { caseId } }), horse: name },
          { address: addressOf("listPrescriptions", { params: { caseId } }), horse: name },
          { address: addressOf("listRadiographs", { params: { caseId } }), horse: name },
          {
            address: addressOf("readTimeline", { params: { caseId } }),
            horse: name,
            isExtra: true,
          },
          {
            address: addressOf("readCaseFile", { params: { caseId } }),
            horse: name,
            leadsTo: caseFilePieces(name),
          },
        ]),
  ];
};

const dayPieces = (date: string, onRoute: (day: RouteDay) => void): readonly Piece[] => [
  { address: addressOf("readSession", {}) },
  {
    address: addressOf("readRouteDay", { params: { date }, query: { startTime: FIRST_START } }),
    leadsTo: (json) => {
      const day = json as RouteDay;
      onRoute(day);
      return [
        ...day.stops.map((stop) => ({
          address: addressOf("readYard", { params: { yardId: stop.yard.id } }),
          isExtra: true,
        })),
        ...day.stops.flatMap((stop) => stop.horses.flatMap(horsePieces)),
      ];
    },
  },
  { address: "/api/v1/planner-figures", isExtra: true },
  // The frame asks whose device this is; on a phone of one's own the answer is nobody's.
  { address: "/api/v1/yard-device", isExtra: true },
  { address: addressOf("readQueue", { query: { role: "farrier" } }) },
  { address: addressOf("listHandoffNotes", { query: {} }) },
  { address: addressOf("listHandoffNotes", { query: { state: "open" } }) },
  ...(["vet", "farrier", "manager"] as const).map((role) => ({
    address: addressOf("listPeople", { query: { role } }),
  })),
];

/** Plans and forms first, pictures last: where the room gives out, what is needed most is there. */
const isPicture = ({ address }: Piece): boolean => /\/(content|pixels|preview)(\?|$)/.test(address);

/** What becomes of the pieces, and how far it is. */
interface Haul {
  readonly sizeBytes: number;
  readonly missing: ReadonlySet<string>;
  readonly isFull: boolean;
}

const haul = async (
  pieces: readonly Piece[],
  onProgress: (done: number, of: number) => void,
): Promise<Haul> => {
  const [now, later]: [Piece[], Piece[]] = [[...pieces], []];
  const asked = new Set<string>();
  const missing = new Set<string>();
  let [sizeBytes, done, isFullNow] = [0, 0, false];
  const enqueue = (piece: Piece): void => void (isPicture(piece) ? later : now).push(piece);
  const work = async (): Promise<void> => {
    for (
      let piece = now.shift() ?? later.shift();
      piece !== undefined;
      piece = now.shift() ?? later.shift()
    ) {
      if (!asked.has(piece.address)) {
        asked.add(piece.address);
        try {
          // Each worker takes one piece after the other.
          // oxlint-disable-next-line no-await-in-loop
          const { json, size } = await take(piece.address);
          sizeBytes += size;
          for (const next of piece.leadsTo?.(json) ?? []) enqueue(next);
        } catch (error) {
          if (piece.horse === undefined && piece.isExtra !== true && !(error instanceof Full))
            throw error;
          if (error instanceof Full) isFullNow = true;
          if (piece.horse !== undefined && (piece.isExtra !== true || error instanceof Full))
            missing.add(piece.horse);
        }
      }
      done += 1;
      onProgress(done, done + now.length + later.length);
    }
  };
  // The first pieces say what else there is; then several lines at once.
  await work();
  await Promise.all(Array.from({ length: AT_ONCE }, work));
  return { sizeBytes, missing, isFull: isFullNow };
};

/**
 * Stores the farrier's day on the device: route, case files, plans, films, forms and last photos, each
 * under the address its page asks for. What the day before held is dropped afterwards.
 *
 * @throws ProblemError when the service cannot be reached or the session is over
 */
export const takeDay = async (session: SessionView): Promise<KeptDay> => {
  const startedAtMs = Date.now();
  const date = todayIn(session.practice.timeZone);
  await navigator.storage.persist();
  await ensureKey("day", session.person.id);
  let route: RouteDay | undefined;
  setOffline({ taking: { done: 0, of: 1 } });
  try {
    await compare([]);
    const result = await haul(
      dayPieces(date, (day) => {
        route = day;
      }),
      (done, of) => setOffline({ taking: { done, of } }),
    );
    await dropOlder(startedAtMs);
    await renewKey();
    const day: KeptDay = {
      date,
      farrierName: route?.farrier.name ?? session.person.name,
      storedAtMs: Date.now(),
      horses: route?.stops.reduce((sum, stop) => sum + stop.horses.length, 0) ?? 0,
      sizeBytes: result.sizeBytes,
      missing: [...result.missing],
      isFull: result.isFull,
    };
    await writeMeta("day", day);
    setOffline({ day });
    return day;
  } finally {
    setOffline({ taking: undefined });
  }
};

/** The day that lies on the device, if there is one. */
export const readKeptDay = (): Promise<KeptDay | undefined> => readMeta<KeptDay>("day");
