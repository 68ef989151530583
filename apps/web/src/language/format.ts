import { useTranslation } from "react-i18next";
import { LANGUAGES, type Language } from "./language.ts";
import { useTimeZone } from "./time-zone.ts";

const DAY_MS = 86_400_000;

/** Whole calendar days from one `YYYY-MM-DD` to another. */
export const daysBetweenDates = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);

/** Today as `YYYY-MM-DD` in a zone. */
export const todayIn = (timeZone: string, now = new Date()): string =>
  new Intl.DateTimeFormat("en-CA", { timeZone, dateStyle: "short" }).format(now);

/** Formats in the chosen language. Instants are shown in the practice's zone unless another is given. */
const formatter = (locale: string, timeZone: string) => {
  const instant = (options: Intl.DateTimeFormatOptions) => {
    const format = new Intl.DateTimeFormat(locale, { timeZone, ...options });
    return (iso: string) => format.format(new Date(iso));
  };
  const date = new Intl.DateTimeFormat(locale, {
    timeZone: "UTC",
    day: "numeric",
    month: "short",
    year: "numeric",
  });
  const shortDate = new Intl.DateTimeFormat(locale, {
    timeZone: "UTC",
    weekday: "short",
    day: "numeric",
    month: "short",
  });
  // Making one costs more than using it a hundred times.
  const byDigits = new Map<number, Intl.NumberFormat>();
  const numberWith = (digits: number): Intl.NumberFormat => {
    const known = byDigits.get(digits);
    if (known !== undefined) return known;
    const made = new Intl.NumberFormat(locale, { maximumFractionDigits: digits });
    byDigits.set(digits, made);
    return made;
  };
  const relative = new Intl.RelativeTimeFormat(locale, { numeric: "auto" });
  return {
    /** `14 Oct 2026` from `YYYY-MM-DD`. */
    date: (localDate: string) => date.format(new Date(`${localDate}T00:00:00Z`)),
    /** `Wed 14 Oct` from `YYYY-MM-DD`. */
    shortDate: (localDate: string) => shortDate.format(new Date(`${localDate}T00:00:00Z`)),
    /** `14 Oct 2026, 07:10` from an instant. */
    dateTime: instant({ dateStyle: "medium", timeStyle: "short" }),
    /** `Wed 14 Oct, 07:10`. */
    shortDateTime: instant({
      weekday: "short",
      day: "numeric",
      month: "short",
      hour: "2-digit",
      minute: "2-digit",
    }),
    day: instant({ day: "numeric", month: "short", year: "numeric" }),
    time: instant({ hour: "2-digit", minute: "2-digit" }),
    /** `3 hours ago`, `in 2 days`. */
    relative: (iso: string, now = Date.now()) => {
      const minutes = Math.round((Date.parse(iso) - now) / 60_000);
      if (Math.abs(minutes) < 60) return relative.format(minutes, "minute");
      if (Math.abs(minutes) < 48 * 60) return relative.format(Math.round(minutes / 60), "hour");
      return relative.format(Math.round(minutes / 1440), "day");
    },
    number: (value: number, digits = 1) => numberWith(digits).format(value),
    list: (words: readonly string[]) => new Intl.ListFormat(locale).format(words),
    timeZone,
    locale,
  };
};

export type Format = ReturnType<typeof formatter>;

/** One for each language and zone: hundreds of lines share it, and none makes its own. */
const shared = new Map<string, Format>();

const formatterFor = (locale: string, timeZone: string): Format => {
  const key = `${locale} ${timeZone}`;
  const made = shared.get(key) ?? formatter(locale, timeZone);
  shared.set(key, made);
  return made;
};

/** Formats for the chosen language and the practice's zone (or the yard's, when given). */
export const useFormat = (timeZone?: string): Format => {
  const { i18n } = useTranslation();
  const practiceZone = useTimeZone();
  const zone = timeZone ?? practiceZone;
  const language = (i18n.resolvedLanguage ?? "en") as Language;
  return formatterFor(LANGUAGES[language].locale, zone);
};
