// The arrangement: job sheet, stage, strip and findings.
export function Workspace() {
  return <main>Raythread</main>;
}
