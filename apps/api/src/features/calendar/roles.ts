import { ROLES, type Role } from "@heelward/domain/access";

export const isRole = (value: string): value is Role =>
  (ROLES as readonly string[]).includes(value);
