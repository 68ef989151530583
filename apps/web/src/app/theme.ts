/** `auto` follows the device; `sun` is black on white with large targets. */
export const THEMES = ["auto", "light", "dark", "sun"] as const;
export type Theme = (typeof THEMES)[number];

const STORED = "heelward.theme";

export const storedTheme = (): Theme => {
  const stored = localStorage.getItem(STORED);
  return THEMES.find((theme) => theme === stored) ?? "auto";
};

/** Changes the light at once and remembers it (`public/theme.js` reads it before the first paint). */
export const chooseTheme = (theme: Theme): void => {
  if (theme === "auto") {
    localStorage.removeItem(STORED);
    delete document.documentElement.dataset["theme"];
  } else {
    localStorage.setItem(STORED, theme);
    document.documentElement.dataset["theme"] = theme;
  }
};
