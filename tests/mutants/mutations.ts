import { parseAst } from 'vitest/node';

/** One small fault: what stands between the two offsets of the file is replaced. */
export interface Mutation {
  readonly kind: 'sign' | 'comparison' | 'constant' | 'boolean' | 'dropped term' | 'returned member';
  readonly from: number;
  readonly to: number;
  readonly replacement: string;
  /** The expression that has to be computed for the fault to show; null outside functions: as soon as the file is imported. */
  readonly computed: Stretch | null;
}

interface Stretch {
  readonly start: number;
  readonly end: number;
}

type Fault = Omit<Mutation, 'computed'> & { readonly computed: Stretch };

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [field: string]: unknown;
}

const TURNED: Readonly<Record<string, string>> = {
  '+': '-',
  '-': '+',
  '*': '/',
  '/': '*',
  '+=': '-=',
  '-=': '+=',
};
const COMPARED: Readonly<Record<string, string>> = {
  '<': '>=',
  '<=': '>',
  '>': '<=',
  '>=': '<',
  '===': '!==',
  '!==': '===',
};
const EITHER: Readonly<Record<string, string>> = { '&&': '||', '||': '&&' };
/** A threshold that is half as large again: smaller changes may be right in their own way. */
const CONSTANT_FACTOR = 1.5;

/** What guards a division or a logarithm against nothing: half as much again or none of it changes no figure. */
const GUARD = 1e-9;

/** Every small fault that can be put into a file of TypeScript, in the order of the text. */
export function mutationsOf(text: string): Mutation[] {
  const found: Mutation[] = [];
  walk(parseAst(text, { lang: 'ts' }) as unknown as Node, false, (node, inFunction) =>
    found.push(
      ...faultsAt(node, text).map((fault) => ({ ...fault, computed: inFunction ? fault.computed : null })),
    ),
  );
  return found
    .filter((mutation) => isProgram(mutated(text, mutation)))
    .sort((one, other) => one.from - other.from || one.to - other.to);
}

export function mutated(text: string, { from, to, replacement }: Mutation): string {
  return text.slice(0, from) + replacement + text.slice(to);
}

/** The same file, which notes in `reached[first + k]` that what the k-th fault changes is computed. */
export function noting(text: string, mutations: readonly Mutation[], first: number): string {
  const inserted = mutations.flatMap(({ computed }, k) =>
    computed === null
      ? []
      : [
          { at: computed.start, outer: computed.end, text: `(globalThis.reached[${first + k}] = 1, ` },
          { at: computed.end, outer: -computed.start, text: ')' },
        ],
  );
  // Closing brackets first, then what opens the outermost.
  const inOrder = inserted.sort(
    (one, other) => one.at - other.at || one.text.length - other.text.length || other.outer - one.outer,
  );
  let from = 0;
  const parts = inOrder.map(({ at, text: part }) => {
    const before = text.slice(from, at);
    from = at;
    return before + part;
  });
  return parts.join('') + text.slice(from);
}

/** A figure as a key, for example, cannot stand in brackets. */
function isProgram(text: string): boolean {
  try {
    parseAst(text, { lang: 'ts' });
    return true;
  } catch {
    return false;
  }
}

function walk(node: Node, inFunction: boolean, visit: (node: Node, inFunction: boolean) => void): void {
  // Types and imports are gone when the code runs.
  if (/^(TS(?!AsExpression|NonNull|Satisfies)|Import|Export(All|Named)Declaration$)/.test(node.type)) {
    if (node.type !== 'ExportNamedDeclaration' || !isNode(node.declaration)) return;
  }
  visit(node, inFunction);
  const inside = inFunction || /Function/.test(node.type);
  for (const child of Object.values(node).flat()) if (isNode(child)) walk(child, inside, visit);
}

function isNode(value: unknown): value is Node {
  return typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';
}

function faultsAt(node: Node, text: string): Fault[] {
  switch (node.type) {
    case 'BinaryExpression':
    case 'AssignmentExpression':
    case 'LogicalExpression':
      return operatorFaults(node, text);
    case 'UnaryExpression': {
      const inner = node.argument as Node;
      if (node.operator === '-') return [replaced('sign', node, textOf(inner, text))];
      return node.operator === '!' ? [replaced('boolean', node, textOf(inner, text))] : [];
    }
    case 'Literal':
      if (typeof node.value === 'boolean') return [replaced('boolean', node, String(!node.value))];
      if (typeof node.value !== 'number' || isGuard(node)) return [];
      return [replaced('constant', node, String(otherValue(node.value)))];
    case 'ConditionalExpression':
      return [replaced('boolean', node.test as Node, `!(${textOf(node.test as Node, text)})`)];
    case 'ReturnStatement':
      return isNode(node.argument) ? membersDropped(node.argument, text) : [];
    default:
      return [];
  }
}

/** Of 0 and 1 the next: one and a half places of a list are one. */
function otherValue(value: number): number {
  return value === 0 || value === 1 ? value + 1 : value * CONSTANT_FACTOR;
}

function operatorFaults(node: Node, text: string): Fault[] {
  const left = node.left as Node;
  const right = node.right as Node;
  const operator = node.operator as string;
  // Text put together is no sum.
  if (operator === '+' && /['`]/.test(textOf(left, text) + textOf(right, text))) return [];
  const at = text.indexOf(operator, left.end);
  const put = (kind: Mutation['kind'], replacement: string): Fault[] => [
    { kind, from: at, to: at + operator.length, replacement, computed: node },
  ];
  if (operator === '+' && isGuard(right)) return [];
  if (TURNED[operator] !== undefined)
    return [
      ...put('sign', TURNED[operator]),
      ...(/=$/.test(operator) ? [] : [replaced('dropped term', node, textOf(left, text))]),
    ];
  if (COMPARED[operator] !== undefined) return put('comparison', COMPARED[operator]);
  return EITHER[operator] === undefined ? [] : put('boolean', EITHER[operator]);
}

/** Each figure of a returned object is set to null in turn: nobody reads it if no test notices. */
function membersDropped(argument: Node, text: string): Fault[] {
  if (argument.type !== 'ObjectExpression') return [];
  return (
    (argument.properties as Node[])
      // What is null already would stay as it is.
      .filter(({ type, value }) => type === 'Property' && textOf(value as Node, text) !== 'null')
      .map((property) => ({
        ...replaced('returned member', property, `${textOf(property.key as Node, text)}: null as never`),
        computed: argument,
      }))
  );
}

function replaced(kind: Mutation['kind'], { start, end }: Node, replacement: string): Fault {
  return {
    kind,
    computed: { start, end },
    from: start,
    to: end,
    replacement: `(${replacement})`.replace(/^\((.*: null as never)\)$/s, '$1'),
  };
}

function isGuard({ type, value }: Node): boolean {
  return type === 'Literal' && typeof value === 'number' && value > 0 && value < GUARD;
}

function textOf({ start, end }: Node, text: string): string {
  return text.slice(start, end);
}
