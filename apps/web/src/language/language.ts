import i18next from "i18next";
import { initReactI18next } from "react-i18next";
import { common } from "./en/common.ts";
import { shell } from "./en/shell.ts";

/** Languages with their own names and the locale that formats dates and numbers. */
export const LANGUAGES = {
  en: { name: "English", locale: "en-GB" },
  de: { name: "Deutsch", locale: "de-DE" },
} as const;
export type Language = keyof typeof LANGUAGES;

const STORED = "heelward.language";

const files = import.meta.glob<Record<string, unknown>>([
  "./*/*.ts",
  "!./en/common.ts",
  "!./en/shell.ts",
]);

const isLanguage = (value: string | null | undefined): value is Language =>
  value !== null && value !== undefined && value in LANGUAGES;

const firstLanguage = (): Language => {
  const stored = localStorage.getItem(STORED);
  if (isLanguage(stored)) return stored;
  const asked = navigator.languages.map((tag) => tag.slice(0, 2)).find(isLanguage);
  return asked ?? "en";
};

/** Starts the catalogues; a namespace that a language lacks falls back to English. */
export const startLanguage = async (): Promise<void> => {
  i18next.on("languageChanged", (language) => {
    document.documentElement.lang = language;
  });
  await i18next
    .use(initReactI18next)
    .use({
      type: "backend",
      read: async (language: string, namespace: string) =>
        (await files[`./${language}/${namespace}.ts`]?.())?.[namespace] ?? {},
    })
    .init({
      lng: firstLanguage(),
      fallbackLng: "en",
      defaultNS: "common",
      ns: ["common", "shell"],
      resources: { en: { common, shell } },
      partialBundledLanguages: true,
      interpolation: { escapeValue: false },
    });
};

/** Fetches catalogues before anything asks for them. */
export const fetchWords = async (namespaces: readonly string[]): Promise<void> =>
  i18next.loadNamespaces(namespaces);

export const chooseLanguage = async (language: Language): Promise<void> => {
  localStorage.setItem(STORED, language);
  await i18next.changeLanguage(language);
};
