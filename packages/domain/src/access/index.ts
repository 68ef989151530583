/** The five roles of a practice. A person may hold several in one practice. */
export const ROLES = ["vet", "farrier", "manager", "carer", "owner"] as const;
export type Role = (typeof ROLES)[number];
