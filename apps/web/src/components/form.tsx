import { createContext, type ReactNode, type SubmitEvent, use } from "react";
import { ProblemError } from "../api/problem-error.ts";
import styles from "./field.module.css";
import { ErrorState } from "./states.tsx";

const ProblemContext = createContext<Error | null>(null);

/** What the service said about a field of the form around it. */
export const useFieldProblem = (name: string | undefined): string | undefined => {
  const problem = use(ProblemContext);
  return name !== undefined && problem instanceof ProblemError
    ? problem.fieldDetail(name)
    : undefined;
};

/**
 * A form that sends through a mutation. A refusal is shown above the buttons, and beside the field
 * it names (fields know themselves by `name`, the JSON pointer without its first slash).
 */
export const Form = ({
  problem,
  onSubmit,
  children,
  footer,
}: {
  readonly problem: Error | null;
  readonly onSubmit: () => void;
  readonly children: ReactNode;
  /** The buttons, below the refusal. */
  readonly footer: ReactNode;
}) => (
  <ProblemContext value={problem}>
    <form
      className={styles["form"]}
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        onSubmit();
      }}
    >
      {children}
      {problem === null ? null : <ErrorState error={problem} />}
      <div className="row">{footer}</div>
    </form>
  </ProblemContext>
);
