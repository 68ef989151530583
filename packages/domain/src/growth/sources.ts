import { valuesOf, type OwnFigures, type Setting, type Source } from "../evidence/index.ts";

/** Who found what about hoof growth. */
export const GROWTH_SOURCES = {
  josseck1995: {
    id: "GRW-01",
    citation:
      "Josseck H, Zenker W, Geyer H 1995. Hoof horn abnormalities in Lipizzaner horses. EVJ 27:175 (42 stallions: 7 mm per 28 days)",
    status: "published",
  },
  reilly1998: {
    id: "GRW-02",
    citation:
      "Reilly JD et al. 1998. EVJ Suppl 26:51 (ponies without biotin: 30.69 mm in 5 months; older ponies slower)",
    status: "published",
  },
  growthByAge: {
    id: "GRO-02",
    citation: "Trade figures by age: foal 15, yearling 12, adult 9, old 6 mm a month",
    status: "common practice",
  },
  adultRange: {
    id: "GRO-01",
    citation: "Trade range for adults 6 to 10 mm a month, read as plus or minus two SD",
    status: "derived",
  },
  season: {
    id: "GRO-02-season",
    citation:
      "Faster in spring, slower in winter is trade knowledge; the twelve factors are our own starting values",
    status: "house rule",
  },
  cycleSpread: {
    id: "house/growth-cv",
    citation: "Spread of one horse's growth from cycle to cycle, starting value",
    status: "house rule",
  },
  readingSpread: {
    id: "house/reading-sd",
    citation: "Spread of one reading, to be replaced by the practice's own repeat-reading study",
    status: "house rule",
  },
  heelToToe: {
    id: "GRO-17/CYC-05",
    citation:
      "Shod for 7 weeks the hoof angle falls, bare it rises (Malone & Davies 2019, Animals 9:1017); in chronic laminitis the toe lags the heel. No figure for a laminitic foot was found, so the middle is no drift with a wide band",
    status: "house rule",
    url: "https://doi.org/10.3390/ani9121017",
  },
  soleGain: {
    id: "house/sole-gain",
    citation:
      "No published sole growth rate was found: the middle holds the sole where it was measured; a gain above 6 mm in 30 days is not believed",
    status: "house rule",
  },
  drift: {
    id: "TRM-13",
    citation:
      "Geometry: growth g along a wall at angle S moves the ground contact g·cos S forward and g·sin S down",
    status: "derived",
  },
} as const satisfies Record<string, Source>;

const since = "2025-10-15";

/** Starting values for growth; a practice replaces them with its own. */
export const GROWTH_SETTINGS = {
  monthFactors: {
    key: "growth.month-factors",
    value: [0.85, 0.88, 0.95, 1.05, 1.12, 1.12, 1.08, 1.05, 1.0, 0.97, 0.9, 0.86],
    unit: "share of the yearly rate, January to December",
    source: GROWTH_SOURCES.season,
    since,
    change: "free",
  },
  cv: {
    key: "growth.cv",
    value: 0.12,
    unit: "SD / mean",
    source: GROWTH_SOURCES.cycleSpread,
    since,
    change: "free",
  },
  smallestCv: {
    key: "growth.smallest-cv",
    value: 0.05,
    unit: "SD / mean",
    source: GROWTH_SOURCES.cycleSpread,
    since,
    change: "free",
  },
  readingSdMm: {
    key: "growth.reading-sd",
    value: 1.0,
    unit: "mm",
    source: GROWTH_SOURCES.readingSpread,
    since,
    change: "free",
  },
  priorSdMmPer30d: {
    key: "growth.prior-sd",
    value: 1.0,
    unit: "mm per 30 days",
    source: GROWTH_SOURCES.adultRange,
    since,
    change: "free",
  },
  readingsToReplaceDefault: {
    key: "growth.readings-to-replace-default",
    value: 3,
    unit: "readings",
    source: GROWTH_SOURCES.cycleSpread,
    since,
    change: "free",
  },
  heelToToeRatio: {
    key: "growth.heel-to-toe-ratio",
    value: { mean: 1, sd: 0.3 },
    unit: "downward growth at the heel / at the toe",
    source: GROWTH_SOURCES.heelToToe,
    since,
    change: "free",
  },
  soleGainMmPer30d: {
    key: "growth.sole-gain",
    value: { mean: 0, sd: 1, most: 6 },
    unit: "mm per 30 days",
    source: GROWTH_SOURCES.soleGain,
    since,
    change: "free",
  },
} as const satisfies Record<string, Setting<unknown>>;

/** The figures the forecasts work with, without their sources. */
export type GrowthValues = ReturnType<typeof valuesOf<typeof GROWTH_SETTINGS>>;

/** The standard figures with the practice's own in their places. */
export const growthValues = (own: OwnFigures): GrowthValues => valuesOf(GROWTH_SETTINGS, own);

/** The figures in force where no practice has set its own. */
export const STANDARD_GROWTH_VALUES: GrowthValues = growthValues({});
