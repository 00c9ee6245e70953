import { parseAst } from 'vitest/node';

/** One small fault: what stands between the two offsets of the file is replaced. */
export interface Mutation {
  readonly kind: 'sign' | 'comparison' | 'constant' | 'boolean' | 'dropped term' | 'returned member';
  readonly from: number;
  readonly to: number;
  readonly replacement: string;
}

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

/** Every small fault that can be put into a file of TypeScript, in the order of the text. */
export function mutationsOf(text: string): Mutation[] {
  const found: Mutation[] = [];
  walk(parseAst(text, { lang: 'ts' }) as unknown as Node, (node) => found.push(...faultsAt(node, text)));
  return found.sort((one, other) => one.from - other.from || one.to - other.to);
}

function walk(node: Node, visit: (node: Node) => void): void {
  // Types and imports are gone when the code runs.
  if (/^(TS(?!AsExpression|NonNull|Satisfies)|Import|Export(All|Named)Declaration$)/.test(node.type)) {
    if (node.type !== 'ExportNamedDeclaration' || !isNode(node.declaration)) return;
  }
  visit(node);
  for (const child of Object.values(node).flat()) if (isNode(child)) walk(child, visit);
}

function isNode(value: unknown): value is Node {
  return typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';
}

function faultsAt(node: Node, text: string): Mutation[] {
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
      if (typeof node.value !== 'number') return [];
      return [replaced('constant', node, node.value === 0 ? '1' : String(node.value * CONSTANT_FACTOR))];
    case 'ConditionalExpression':
      return [replaced('boolean', node.test as Node, `!(${textOf(node.test as Node, text)})`)];
    case 'ReturnStatement':
      return isNode(node.argument) ? membersDropped(node.argument, text) : [];
    default:
      return [];
  }
}

function operatorFaults(node: Node, text: string): Mutation[] {
  const left = node.left as Node;
  const right = node.right as Node;
  const operator = node.operator as string;
  // Text put together is no sum.
  if (operator === '+' && /['`]/.test(textOf(left, text) + textOf(right, text))) return [];
  const at = text.indexOf(operator, left.end);
  const put = (kind: Mutation['kind'], replacement: string): Mutation[] => [
    { kind, from: at, to: at + operator.length, replacement },
  ];
  if (TURNED[operator] !== undefined)
    return [
      ...put('sign', TURNED[operator]),
      ...(/=$/.test(operator) ? [] : [replaced('dropped term', node, textOf(left, text))]),
    ];
  if (COMPARED[operator] !== undefined) return put('comparison', COMPARED[operator]);
  return EITHER[operator] === undefined ? [] : put('boolean', EITHER[operator]);
}

/** Each figure of a returned object is set to null in turn: nobody reads it if no test notices. */
function membersDropped(argument: Node, text: string): Mutation[] {
  if (argument.type !== 'ObjectExpression') return [];
  return (
    (argument.properties as Node[])
      // What is null already would stay as it is.
      .filter(({ type, value }) => type === 'Property' && textOf(value as Node, text) !== 'null')
      .map((property) =>
        replaced('returned member', property, `${textOf(property.key as Node, text)}: null as never`),
      )
  );
}

function replaced(kind: Mutation['kind'], { start, end }: Node, replacement: string): Mutation {
  return {
    kind,
    from: start,
    to: end,
    replacement: `(${replacement})`.replace(/^\((.*: null as never)\)$/s, '$1'),
  };
}

function textOf({ start, end }: Node, text: string): string {
  return text.slice(start, end);
}
