import "i18next";
import type { Catalogue } from "./catalogue.ts";

declare module "i18next" {
  interface CustomTypeOptions {
    defaultNS: "common";
    resources: Catalogue;
  }
}
