import { createContext, use } from "react";

/** The practice's IANA zone; the device's own before anybody signed in. */
export const TimeZoneContext = createContext(Intl.DateTimeFormat().resolvedOptions().timeZone);

export const useTimeZone = (): string => use(TimeZoneContext);
