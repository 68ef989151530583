import type { Finding, Judged, Source } from "../evidence/index.ts";
import type { Foot } from "../examination/index.ts";
import type { InstantMs } from "../time/index.ts";
import { chooseSupport, type SupportChoice, type SupportFacts } from "./choose-support.ts";
import { FIRST_AID_SETTINGS, type FirstAidSettings } from "./settings.ts";
import {
  COOLING,
  DO_NOT_WALK,
  EMERGENCY_PAGE,
  FOAM_BLOCK,
  FORAGE,
  HOUSE_SHEET,
  MEDICINE_SHELF,
  SHOES_STAY,
  SOFT_LAYER,
} from "./sources.ts";

export const BEDDINGS = [
  "shavings",
  "hemp",
  "paper",
  "straw",
  "sand",
  "rubber mats",
  "none",
] as const;
export type Bedding = (typeof BEDDINGS)[number];
export const FLOORS = ["concrete", "rubber", "earth", "other"] as const;
export type Floor = (typeof FLOORS)[number];
export const WATER_POSITIONS = [
  "inside on the floor",
  "inside on the wall",
  "outside the door",
] as const;
export type WaterPosition = (typeof WATER_POSITIONS)[number];

export interface BoxFacts {
  readonly widthM: number;
  readonly lengthM: number;
  readonly bedding: Bedding;
  readonly floor: Floor;
  readonly water: WaterPosition;
}

export interface FirstAidFacts extends SupportFacts {
  readonly box?: BoxFacts;
  /** True when the horse is not in its box now. */
  readonly outside: boolean;
  readonly iceOrderedByVet: boolean;
  readonly ringNumber: string;
  readonly atMs: InstantMs;
}

export interface FirstAidStep {
  readonly id: string;
  readonly text: string;
  readonly why: string;
  /** The carer ticks it. */
  readonly checklist: boolean;
  /** A photo goes with the tick. */
  readonly photo: boolean;
  readonly source: Source;
}

/** Two published views that differ; the sheet shows both and which it follows. */
export interface Disagreement {
  readonly id: string;
  readonly sides: readonly { readonly says: string; readonly source: Source }[];
  readonly sheetFollows: string;
}

export interface FirstAidSheet {
  readonly writtenAtMs: InstantMs;
  readonly ringNumber: string;
  readonly steps: readonly FirstAidStep[];
  readonly ringAtOnceIf: readonly string[];
  readonly writeDown: readonly string[];
  readonly support: SupportChoice;
  readonly disagreements: readonly Disagreement[];
  /** Loose bedding for the whole floor at the depth asked; absent without box facts. */
  readonly beddingVolumeM3?: number;
  readonly caution: string;
}

const FOOT_WORDS: Readonly<Record<Foot, string>> = {
  LF: "left front",
  RF: "right front",
  LH: "left hind",
  RH: "right hind",
};

/** Feet come in pairs, so there are always at least two. */
const listed = (words: readonly string[]): string =>
  `${words.slice(0, -1).join(", ")} and ${words.at(-1) ?? ""}`;

/** Loose bedding needed for a whole floor, in cubic metres, before it settles. */
export const beddingVolumeM3 = (
  box: Pick<BoxFacts, "widthM" | "lengthM">,
  depthMm: number = FIRST_AID_SETTINGS.bedDepthMm.value,
): number => (box.widthM * box.lengthM * depthMm) / 1000;

const bedText = (box: BoxFacts | undefined, settings: FirstAidSettings): string => {
  const depth = `${String(settings.bedDepthLeastMm.value / 10)} to ${String(Math.round(settings.bedDepthMm.value / 10))} cm deep`;
  const volume =
    box === undefined
      ? ""
      : ` For this box that is about ${beddingVolumeM3(box, settings.bedDepthMm.value).toFixed(1)} cubic metres, loose.`;
  const material =
    box === undefined ||
    box.bedding === "shavings" ||
    box.bedding === "hemp" ||
    box.bedding === "paper"
      ? ""
      : box.bedding === "sand"
        ? " Sand is good if it is clean and soft."
        : box.bedding === "straw"
          ? " Straw parts under the foot. Put shavings on top if you have them."
          : " Mats or a bare floor are not enough. Ask who can bring shavings now.";
  const floor = box?.floor === "concrete" ? " No bare concrete must show." : "";
  return `Make the bed ${depth} over the whole box, right up to the door and all round the water.${volume}${material}${floor} Dig to check: your hand must not find the floor.`;
};

const waterText = (water: WaterPosition | undefined): string =>
  water === "outside the door"
    ? "Bring the water inside, where it can drink from the deep bed."
    : water === "inside on the wall"
      ? "Water must be in reach from the deep bed. Hang a bucket too if it has to stretch."
      : "Keep water in reach from the deep bed.";

const supportStep = (choice: SupportChoice, settings: FirstAidSettings): FirstAidStep => {
  const feet = `${listed(choice.feet.map((foot) => FOOT_WORDS[foot]))} feet`;
  const shared = { id: "support", checklist: true, photo: true };
  switch (choice.support) {
    case "foam block":
      return {
        ...shared,
        text: `Cut ${String(settings.foamThicknessMm.value)} mm firm foam to each foot and tape it on: ${feet}. The back of the foot and the frog must rest on it. Look every 12 hours. Once flat, ring before you change it.`,
        why: `${choice.because} It takes weight off the sore toe.`,
        source: FOAM_BLOCK,
      };
    case "soft pad":
      return {
        ...shared,
        text: `Tape a soft pad under the back of each foot, from the tip of the frog to the heels: ${feet}. Leave the toe free. Use no hard or thick block. Stop if it objects.`,
        why: `${choice.because} A soft pad takes weight off the sore toe.`,
        source: choice.source,
      };
    case "bed only":
      return {
        ...shared,
        photo: false,
        text: "Tie nothing to the feet. Do not lift them. Heap the bed so that the heels can sink in.",
        why: choice.because,
        source: choice.source,
      };
  }
};

const iceStep = (ordered: boolean, settings: FirstAidSettings): FirstAidStep =>
  ordered
    ? {
        id: "ice",
        text: `The vet asked for ice. Cover the foot and the leg to above the fetlock in ice and water. Keep it under ${String(settings.iceBelowCelsius.value)} °C without a break. Top it up before it melts. Write down each time. Look at the skin each time.`,
        why: "Ice round the foot alone, or on and off, does not get cold enough.",
        checklist: true,
        photo: true,
        source: COOLING,
      }
    : {
        id: "ice",
        text: "Use ice only if the vet tells you to.",
        why: "It has to be done all the way or it does not help, and it can hurt the skin.",
        checklist: false,
        photo: false,
        source: COOLING,
      };

/** Signs that mean: ring now, do not wait for the visit. */
export const RING_AT_ONCE: readonly string[] = [
  "it cannot get up, or lies flat more than before",
  "it will not move or lift a front foot",
  "all four feet are sore",
  "you feel a ledge or a dip at the hairline",
  "the sole bulges, cracks, bleeds or smells",
  "it breathes fast or sweats at rest",
  "its temperature is 38.6 °C or more",
  "it has colic, loose dung, or stops eating or drinking",
  "the good leg of a lame horse is now rested",
  "it has had a medicine twice, or two kinds",
];

export const WRITE_DOWN: readonly string[] = [
  "the time now, and when you first saw it",
  "temperature, heart rate and breaths a minute",
  "which feet are warm, and how strong the pulse is",
  "droppings and water",
  "what it ate, and what changed this week",
  "any medicine it has had in the last seven days",
  "weight, and when it was weighed",
];

const bedDisagreement = (support: SupportChoice): readonly Disagreement[] =>
  support.support === "bed only"
    ? []
    : [
        {
          id: "bed-under-support",
          sides: [
            {
              says: "A deep bed over the whole floor, whatever is on the feet.",
              source: EMERGENCY_PAGE,
            },
            { says: "A thin, firm bed while foam is on the feet.", source: FOAM_BLOCK },
          ],
          sheetFollows: "Deep bed. The vet may choose the other and says so.",
        },
      ];

const refuseBox = (field: "widthM" | "lengthM", value: number): Finding => ({
  rule: "firstaid/box-size@1",
  outcome: "block",
  detail: `A box side of ${String(value)} m cannot be right; give metres between 1 and 30.`,
  source: HOUSE_SHEET,
  field: `/box/${field}`,
});

/**
 * The yard's first-aid sheet, in the order in which things are done. It is written for whoever
 * stands in the box now: short words, one thing at a time. It bridges the time until the vet comes
 * and replaces nothing the vet says.
 */
export const writeFirstAidSheet = (
  facts: FirstAidFacts,
  settings: FirstAidSettings = FIRST_AID_SETTINGS,
): Judged<FirstAidSheet> => {
  const { box } = facts;
  const findings: readonly Finding[] =
    box === undefined
      ? []
      : (["widthM", "lengthM"] as const).flatMap((field) =>
          box[field] >= 1 && box[field] <= 30 ? [] : [refuseBox(field, box[field])],
        );
  if (findings.length > 0) return { ok: false, findings };
  const support = chooseSupport(facts, settings);
  const plain = (
    id: string,
    text: string,
    why: string,
    source: Source,
    marks: { readonly checklist?: boolean; readonly photo?: boolean } = {},
  ): FirstAidStep => ({
    id,
    text,
    why,
    source,
    checklist: marks.checklist ?? true,
    photo: marks.photo ?? false,
  });
  const steps: readonly FirstAidStep[] = [
    plain(
      "ring",
      `Ring ${facts.ringNumber} now.`,
      "Sore feet like this are as urgent as colic.",
      EMERGENCY_PAGE,
    ),
    plain(
      "stop",
      "Do not walk the horse. Take the bed to it. Let it lie down if it wants to.",
      "Each step can tear the foot from the bone.",
      DO_NOT_WALK,
    ),
    ...(facts.outside
      ? [
          plain(
            "trailer",
            "If it must be moved, wait for a trailer with a low ramp. Take it off the grass only as far as the nearest soft ground.",
            "A long way on sore feet does harm.",
            EMERGENCY_PAGE,
          ),
        ]
      : []),
    plain(
      "bed",
      bedText(box, settings),
      "A bed that gives holds the whole sole and lets it lie down in comfort.",
      facts.animalType === "pony" ? SOFT_LAYER : EMERGENCY_PAGE,
      { photo: true },
    ),
    supportStep(support, settings),
    plain(
      "water-forage",
      `${waterText(box?.water)} Give plain hay in reach, unless the vet says no. Give no grass, hard feed or treats.`,
      "Hunger can make a pony very ill. Sugar can make the feet worse.",
      FORAGE,
    ),
    iceStep(facts.iceOrderedByVet, settings),
    plain(
      "no-medicine",
      "Give no medicine from the cupboard.",
      "It hides the signs, and the vet may then not be able to give the right one.",
      MEDICINE_SHELF,
    ),
    plain(
      "shoes",
      "Do not pull off shoes. Do not trim or pare the feet.",
      "Blows hurt, and the sole may be all that holds.",
      SHOES_STAY,
    ),
    plain(
      "write-down",
      "Write down what is on the list below.",
      "The vet will ask, and a change shows only against a number.",
      DO_NOT_WALK,
    ),
    plain(
      "photo",
      "Take a photo from the side, where it stands.",
      "How it stands tells the vet a lot.",
      HOUSE_SHEET,
      { photo: true },
    ),
    plain("friend", "Keep a friend in sight.", "A worried horse walks about.", HOUSE_SHEET),
  ];
  return {
    ok: true,
    findings: [],
    value: {
      writtenAtMs: facts.atMs,
      ringNumber: facts.ringNumber,
      steps,
      ringAtOnceIf: RING_AT_ONCE,
      writeDown: WRITE_DOWN,
      support,
      disagreements: bedDisagreement(support),
      ...(box === undefined
        ? {}
        : { beddingVolumeM3: beddingVolumeM3(box, settings.bedDepthMm.value) }),
      caution:
        "This sheet helps until the vet is there. It is not a diagnosis, and it names no medicine. The law and the vet where the horse stands come first.",
    },
  };
};
