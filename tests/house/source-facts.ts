// What a source file refers to and uses, read from its syntax tree (types included) and never from its text.
import { parseSync } from 'oxc-parser';

export interface Reference {
  /** Specifier as written. */
  readonly to: string;
  readonly line: number;
}

export interface Use {
  /** `Math.sin`, `Date`, `**` .. */
  readonly what: string;
  readonly line: number;
}

export interface SourceFacts {
  /** Everything imported, re-exported, imported as a type, on demand, or named by URL beside `import.meta.url`. */
  readonly references: readonly Reference[];
  /** Members of `Math` (`Math` alone where it is passed on), free and member names, powers with a doubtful exponent. */
  readonly uses: readonly Use[];
}

type Node = { readonly type: string; readonly start: number; readonly [key: string]: unknown };

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

/** Text of a string literal or of a template without holes, else null. */
function textOf(node: unknown): string | null {
  if (!isNode(node)) return null;
  if (node.type === 'Literal' && typeof node.value === 'string') return node.value;
  if (node.type === 'TemplateLiteral') {
    const quasis = node.quasis as { value: { cooked: string } }[];
    return quasis.length === 1 ? quasis[0].value.cooked : null;
  }
  return null;
}

const isIdentifier = (node: unknown, name: string): boolean =>
  isNode(node) && node.type === 'Identifier' && node.name === name;

/** `import.meta.url` */
const isModuleUrl = (node: unknown): boolean =>
  isNode(node) &&
  node.type === 'MemberExpression' &&
  isNode(node.object) &&
  node.object.type === 'MetaProperty' &&
  isIdentifier(node.property, 'url');

/** What a node brings in: the specifier's node, or null. A specifier that is not a plain string is returned as it is. */
function specifierOf(node: Node): unknown {
  switch (node.type) {
    case 'ImportDeclaration':
    case 'ExportNamedDeclaration':
    case 'ExportAllDeclaration':
    case 'ImportExpression':
    case 'TSImportType':
      return node.source ?? node.argument ?? null;
    case 'TSExternalModuleReference':
      return node.expression;
    case 'NewExpression': {
      const given = node.arguments as unknown[];
      return isIdentifier(node.callee, 'URL') && isModuleUrl(given[1]) ? given[0] : null;
    }
    case 'CallExpression': {
      const callee = node.callee as Node;
      const isRequire =
        isIdentifier(callee, 'require') ||
        (callee.type === 'MemberExpression' && isIdentifier(callee.object, 'require'));
      return isRequire ? (node.arguments as unknown[])[0] : null;
    }
    default:
      return null;
  }
}

const isIntegerLiteral = (node: unknown): boolean =>
  isNode(node) &&
  ((node.type === 'Literal' && typeof node.value === 'number' && Number.isInteger(node.value)) ||
    (node.type === 'UnaryExpression' && node.operator === '-' && isIntegerLiteral(node.argument)));

/** Which use a node stands for, or null. `parent` decides whether a name is a reference or a mere key. */
function useOf(node: Node, parent: Node | null): string | null {
  if (node.type === 'BinaryExpression' && node.operator === '**') return isIntegerLiteral(node.right) ? null : '**';
  if (node.type === 'AssignmentExpression' && node.operator === '**=') {
    return isIntegerLiteral(node.right) ? null : '**=';
  }
  if (node.type !== 'Identifier') return null;
  const isMember = parent?.type === 'MemberExpression';
  if (node.name === 'Math') {
    if (!isMember || parent.object !== node || parent.computed) return 'Math';
    return `Math.${(parent.property as Node).name}`;
  }
  const isKey = (parent?.type === 'Property' || parent?.type.startsWith('TSPropertySignature')) && parent?.key === node;
  if (isKey && !parent?.computed && parent?.shorthand !== true) return null;
  return isMember && parent.property === node && !parent.computed ? `.${node.name}` : String(node.name);
}

/**
 * Reads one file. Throws where it does not parse: a file that was not understood must not pass for a clean one.
 */
export function sourceFacts(file: string, text: string): SourceFacts {
  const { program, errors } = parseSync(file, text);
  if (errors.length > 0) throw new Error(`${file}: ${errors[0].message}`);
  const references: Reference[] = [];
  const uses: Use[] = [];
  const lineOf = (offset: number): number => text.slice(0, offset).split('\n').length;
  const visit = (node: Node, parent: Node | null): void => {
    const specifier = specifierOf(node);
    if (specifier !== null && specifier !== undefined) {
      references.push({ to: textOf(specifier) ?? '(not a plain string)', line: lineOf(node.start) });
    }
    const what = useOf(node, parent);
    if (what !== null) uses.push({ what, line: lineOf(node.start) });
    for (const value of Object.values(node)) {
      if (Array.isArray(value)) for (const item of value) isNode(item) && visit(item, node);
      else if (isNode(value)) visit(value, node);
    }
  };
  visit(program as unknown as Node, null);
  return { references, uses };
}
