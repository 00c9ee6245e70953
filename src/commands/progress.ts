/** How far a command has come; each shell shows it in its own way. */
export type Progress = (done: number, total: number, what: string) => void;
