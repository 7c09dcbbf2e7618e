// The findings as Markdown, for people: the same table that the checks read.
import { RULES, type Rule } from '../../src/checks/severity.ts';
import type { Severity } from '../../src/model/finding.ts';

const MEANING: Readonly<Record<Severity, string>> = {
  blocks: 'Blocks: a limit of the job is exceeded, or a value is unknown. Exit code 1.',
  warns: 'Warns: something had to be given up or guessed.',
  notes: 'Notes: good to know.',
};

/** One document with a table for each severity. */
export function findingDocs(): string {
  const rules: readonly (readonly [string, Rule])[] = Object.entries(RULES);
  const severities = Object.keys(MEANING) as Severity[];
  return [
    '# Findings',
    '',
    'Made from the table in `src/checks` by `npm run schemas`. Limits named `limits.*` stand in the job; the others are assumed.',
    '',
    ...severities.flatMap((severity) => [
      `## ${MEANING[severity]}`,
      '',
      '| code | finding | held against | what to try |',
      '|---|---|---|---|',
      ...rules
        .filter(([, rule]) => rule.severity === severity)
        .map(([code, rule]) => `| \`${code}\` | ${rule.title} | ${rule.limit} | ${rule.remedy} |`),
      '',
    ]),
  ].join('\n');
}
