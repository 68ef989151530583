/** Monday 1 … Sunday 7 by name, in the chosen language. */
export const weekdayNames = (
  locale: string,
  width: "long" | "short" = "long",
): readonly string[] => {
  const format = new Intl.DateTimeFormat(locale, { weekday: width, timeZone: "UTC" });
  // 2024-01-01 was a Monday.
  return Array.from({ length: 7 }, (_, index) => format.format(Date.UTC(2024, 0, 1 + index)));
};
