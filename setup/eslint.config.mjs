// What the browser modules and their tests are held to, beside TypeScript and prettier: `make lint` runs it.
import jsdoc from "eslint-plugin-jsdoc";

const TAGS = /@(?:param|returns|property|template|throws)\b/g;

/** Two parameters on one line of a comment are read as one by whoever skims it. */
const oneTagALine = {
  meta: { type: "layout", schema: [], messages: { many: "One tag a line." } },
  create: (context) => ({
    Program() {
      for (const comment of context.sourceCode.getAllComments())
        comment.value.split("\n").forEach((text, index) => {
          if ((text.match(TAGS) ?? []).length < 2) return;
          context.report({ loc: { line: comment.loc.start.line + index, column: 0 }, messageId: "many" });
        });
    },
  }),
};

/** Parts of the desk say what they need of one another; the desk, which puts them together, is known to none of them. */
const partsKnowNoDesk = {
  meta: { type: "suggestion", schema: [], messages: { desk: "Say what this part needs, in place of the whole desk." } },
  create: (context) => ({
    ImportDeclaration(node) {
      if (node.source.value === "./desk.js") context.report({ node, messageId: "desk" });
    },
    Program() {
      for (const comment of context.sourceCode.getAllComments())
        if (comment.value.includes('"./desk.js"')) context.report({ loc: comment.loc, messageId: "desk" });
    },
  }),
};

export default [
  {
    files: ["static/js/**/*.js", "tests/**/*.mjs"],
    languageOptions: { ecmaVersion: 2022, sourceType: "module" },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    plugins: { jsdoc, cagenote: { rules: { "one-tag-a-line": oneTagALine, "parts-know-no-desk": partsKnowNoDesk } } },
    settings: { jsdoc: { mode: "typescript" } },
    rules: {
      eqeqeq: "error",
      "no-var": "error",
      "prefer-const": "error",
      "no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_", caughtErrors: "none" }],
      "no-shadow-restricted-names": "error",
      "no-implicit-globals": "error",
      "no-throw-literal": "error",
      "no-self-compare": "error",
      "no-unreachable-loop": "error",
      "object-shorthand": "error",
      "max-len": ["error", { code: 120, ignoreUrls: true }],
      "jsdoc/check-alignment": "error",
      "jsdoc/check-param-names": ["error", { checkDestructured: false }],
      "jsdoc/check-tag-names": ["error", { typed: false }],
      "jsdoc/check-types": "error",
      "jsdoc/no-bad-blocks": "error",
      "jsdoc/no-multi-asterisks": "error",
      "jsdoc/multiline-blocks": ["error", { noSingleLineBlocks: false, minimumLengthForMultiline: 121 }],
      "jsdoc/require-param-name": "error",
      "jsdoc/require-param-type": "error",
      "cagenote/one-tag-a-line": "error",
      "cagenote/parts-know-no-desk": "error",
    },
  },
];
