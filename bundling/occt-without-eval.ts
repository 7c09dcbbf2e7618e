// The importer's glue makes functions from text, which the page's content policy forbids. In its two places stand functions that do the
// same without; Emscripten has such ones too, for builds with DYNAMIC_EXECUTION=0.
import type { Plugin } from 'vite';

/** Calls a C++ function: arguments to wire types, the result back, temporaries ended. */
const INVOKER = `var invokerFn = function (...given) {
  var destructors = needsDestructorStack ? [] : null;
  var wired = isClassMethodFunc ? [argTypes[1].toWireType(destructors, this)] : [];
  for (var k = 2; k < argCount; k++) wired.push(argTypes[k].toWireType(destructors, given[k - 2]));
  var rv = cppInvokerFunc(cppTargetFunc, ...wired);
  if (needsDestructorStack) runDestructors(destructors);
  else {
    var first = isClassMethodFunc ? 1 : 2;
    for (var k = first; k < argCount; k++) {
      if (argTypes[k].destructorFunction !== null) argTypes[k].destructorFunction(wired[k - first]);
    }
  }
  if (returns) return argTypes[0].fromWireType(rv);
};
`;

/** Calls a JavaScript function from C++: arguments are read one after the other from memory. */
const CALLER = `var invokerFunction = (obj, func, destructorsRef, args) => {
  var values = types.map((type) => {
    var value = type.readValueFromPointer(args);
    args += type.argPackAdvance;
    return value;
  });
  var rv = kind === 1 ? new func(...values) : func.call(obj, ...values);
  if (!retType.isVoid) return emval_returnValue(retType, destructorsRef, rv);
};
`;

/** Throws where the importer is not the one that this was written for. */
export function withoutEval(code: string): string {
  const invoking = replaceBetween(
    code,
    'let[args,invokerFnBody]=createJsInvoker(',
    'return createNamedFunction(humanName,invokerFn)',
    INVOKER,
  );
  return replaceBetween(
    invoking,
    'var functionBody=`return function (obj, func, destructorsRef, args) {',
    'var functionName=`methodCaller<(',
    CALLER,
  );
}

/** `by` in the place of what begins with `from`, which occurs once, and ends before `to`. */
function replaceBetween(code: string, from: string, to: string, by: string): string {
  const start = code.indexOf(from);
  const end = code.indexOf(to, start);
  if (start < 0 || end < 0 || code.indexOf(from, start + 1) >= 0) {
    throw new Error(`occt-import-js has changed: "${from}" does not stand there once`);
  }
  return code.slice(0, start) + by + code.slice(end);
}

export const occtWithoutEval = (): Plugin => ({
  name: 'occt-without-eval',
  enforce: 'pre',
  transform: {
    filter: { id: /occt-import-js[\\/]dist[\\/]occt-import-js\.js$/ },
    handler: (code) => ({ code: withoutEval(code), map: null }),
  },
});
