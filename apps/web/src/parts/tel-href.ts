/** The address that rings a number; RFC 3966 allows no spaces in it. */
export const telHref = (phone: string): string => `tel:${phone.replaceAll(/[^\d+]/g, "")}`;
