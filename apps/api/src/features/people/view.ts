import type { Person as PersonView } from "@heelward/contracts";
import { role } from "@heelward/contracts";
import { z } from "zod";

interface PersonRow {
  readonly id: string;
  readonly name: string;
  readonly email: string;
  readonly phone: string | null;
  readonly roles: readonly string[];
  readonly registrationNumber: string | null;
  readonly clinicalLead: boolean;
  readonly status: string;
  readonly version: number;
}

const roles = z.array(role);
const status = z.enum(["invited", "active", "removed"]);

/** A person as others see them: never the password's hash or the lock. */
export const viewPerson = (row: PersonRow): PersonView => ({
  id: row.id,
  name: row.name,
  email: row.email,
  phone: row.phone,
  roles: roles.parse(row.roles),
  registrationNumber: row.registrationNumber,
  clinicalLead: row.clinicalLead,
  status: status.parse(row.status),
  version: row.version,
});
