const QUESTION_WORD = /^[*\s]*(What|Whether|Where|How|Which|Who|Whose|Why|When)\b/;

/** A rule of ESLint: a docstring begins with a noun or a verb, not with the word of a question. */
export const docstrings = {
  meta: {
    type: 'suggestion',
    schema: [],
    messages: { question: 'A docstring begins with a noun or a verb, not with "{{word}}".' },
  },
  create(context) {
    return {
      Program() {
        for (const comment of context.sourceCode.getAllComments()) {
          const word =
            comment.type === 'Block' && comment.value.startsWith('*')
              ? QUESTION_WORD.exec(comment.value)?.[1]
              : undefined;
          if (word !== undefined) context.report({ loc: comment.loc, messageId: 'question', data: { word } });
        }
      },
    };
  },
};
