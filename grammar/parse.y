/* parse.y - the grammar of Descant, in the order of its reference (grammar/reference.md).
 *
 * Actions only build nodes (compiler/syntax/parser.c): nothing is looked up or computed here. The scanner ends every
 * statement with END and balances the braces. Words of the language are names wherever the grammar does not expect
 * them (%fallback). A statement that cannot be read ends at its END: `error END`. Lists of a block begin with its brace, so
 * that there is a list to go on with when the first statement cannot be read.
 */
%include {
#include "syntax/parser.h"
#include "base/assert.h"
#define assert(x) ASSERT(x)
static int shift_of(const void *parser, int terminal);
}
%name parse
%token_prefix TOK_
%token_type { struct token }
%default_type { struct node * }
%extra_context { struct parser *p }
%stack_size 200
%start_symbol file

%fallback NAME EPISODE LIBRARY USE CONVENTIONS WORK RECORDING SCORE CITE FACT READING SPELL NEVER OPEN ERRATA RECUT BY
    INSTRUMENT CHORD SCALE PROFILE PASSAGE PART HARMONY FIGURE CLAIM AT THEN CHAPTER SAY PLAY DEMO SHOW SILENCE HEARD BASIS EAR
    REDUCTION GUESS METER TEMPO KEY PICKUP VOICES BAR BARS BEAT REST HOLD UNCERTAIN MUTED SOLO WRITTEN SOUNDING OVER AS AND IN
    TO OF IS FOR FROM TITLE SERIES NUMBER LANGUAGE FRAMES DROP DATE COMPOSER YEAR KIND RIGHTS RIGHTS_HOLDER STARTS LENGTH TRACK
    SPEED TUNING ANCHOR LABEL EDITION PUBLISHER FILE PAGES PAGE AUTHOR URL NOTE SAID TRUE KNAME FAMILY REED SOUNDS RANGE COMMON
    CLEF PROGRAM SOURCE SYMBOLS TONES LINE LINES RATE SPEECH SHORTEST LONGEST GAP CLOSE ACCIDENTALS.

%syntax_error {
    const struct token found = TOKEN;
    static const int terminals[] = {
#undef TOKEN
#define TOKEN(token, phrase) TOK_##token,
#define KEYWORD(token, word) TOK_##token,
#include "tokens.def"
    };
    int expected[sizeof terminals / sizeof *terminals];
    int n = 0;
    const int name = shift_of(yypParser, TOK_NAME);
    for (size_t i = 0; i < sizeof terminals / sizeof *terminals; i++) {
        const int a = shift_of(yypParser, terminals[i]);
        if (a >= 0 && !(terminals[i] != TOK_NAME && yyFallback[terminals[i]] == TOK_NAME && a == name))
            expected[n++] = terminals[i];
    }
    parser_unexpected(p, found, expected, n);
}
%code {
/* The action that would shift a terminal now, after all reductions on the way; -1 if it does not fit. States that are merged
 * let more terminals reduce than fit in the end, so that the first action alone tells too much. */
static int shift_of(const void *parser, int terminal)
{
    enum { PUSHED_MAX = 100 };
    const yyStackEntry *base = ((const yyParser *)parser)->yytos;
    YYACTIONTYPE pushed[PUSHED_MAX], state = base->stateno;
    for (int n = 0; n < PUSHED_MAX;) {
        const YYACTIONTYPE action = yy_find_shift_action((YYCODETYPE)terminal, state);
        if (action < YY_MIN_REDUCE)
            return action == YY_ERROR_ACTION ? -1 : action;
        const unsigned rule = action - YY_MIN_REDUCE;
        int size = -yyRuleInfoNRhs[rule];
        for (; size > 0 && n > 0; size--)
            n--;
        base -= size;
        state = yy_find_reduce_action(n > 0 ? pushed[n - 1] : base->stateno, (YYCODETYPE)yyRuleInfoLhs[rule]);
        pushed[n++] = state;
    }
    return -1;
}
}
%stack_overflow {
    parser_unexpected(p, p->last, NULL, 0);
}

file ::= items.
items ::= .
items ::= items item(I). { parser_top(p, I); }

item(A) ::= END. { A = NULL; }
item(A) ::= statement(S) END. { A = S; }
item(A) ::= error END. { A = node_error(p); yypParser->yyerrcnt = -1; }

/* 1. The file: what it is and what it uses */
statement(A) ::= EPISODE(K) string(S). { A = node_make(p, NODE_STATEMENT, K, S, NULL, NULL, NULL); }
statement(A) ::= EPISODE(K) string(S) block(B). { A = node_make(p, NODE_STATEMENT, K, S, B, NULL, NULL); }
statement(A) ::= LIBRARY(K) string(S). { A = node_make(p, NODE_STATEMENT, K, S, NULL, NULL, NULL); }
statement(A) ::= LIBRARY(K) string(S) block(B). { A = node_make(p, NODE_STATEMENT, K, S, B, NULL, NULL); }
statement(A) ::= USE(K) string(S). { A = node_make(p, NODE_STATEMENT, K, S, NULL, NULL, NULL); }
statement(A) ::= CONVENTIONS(K) settings(L) RBRACE. { A = node_make(p, NODE_STATEMENT, K, L, NULL, NULL, NULL); }
settings(A) ::= LBRACE. { A = node_list(p, NULL); }
settings(A) ::= settings(L) END. { A = L; }
settings(A) ::= settings(L) setting(S). { A = node_add(L, S); }
settings(A) ::= settings(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }
setting(A) ::= name(N). { A = N; }
setting(A) ::= number(N). { A = N; }
setting(A) ::= fraction(N). { A = N; }

/* 2. Works, recordings, scores; instruments, chords, scales, caption profiles; sources: a name and fields */
statement(A) ::= declared(K) name(N) block(B). { A = node_make(p, NODE_STATEMENT, K, N, B, NULL, NULL); }
%type declared { struct token }
declared(A) ::= WORK(K). { A = K; }
declared(A) ::= RECORDING(K). { A = K; }
declared(A) ::= SCORE(K). { A = K; }
declared(A) ::= CITE(K). { A = K; }
declared(A) ::= ERRATA(K). { A = K; }
declared(A) ::= INSTRUMENT(K). { A = K; }
declared(A) ::= CHORD(K). { A = K; }
declared(A) ::= SCALE(K). { A = K; }
declared(A) ::= PROFILE(K). { A = K; }

block(A) ::= fields(L) RBRACE. { A = L; }
fields(A) ::= LBRACE. { A = node_list(p, NULL); }
fields(A) ::= fields(L) END. { A = L; }
fields(A) ::= fields(L) field(F). { A = node_add(L, F); }
fields(A) ::= fields(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }

field(A) ::= fieldword(K) values(V). { A = node_adopt(node_make(p, NODE_FIELD, K, NULL, NULL, NULL, NULL), V); }
field(A) ::= ANCHOR(K) time(T) IS time(U) OF name(N). { A = node_make(p, NODE_FIELD, K, T, U, N, NULL); }
field(A) ::= FRAMES(K) number(N). { A = node_make(p, NODE_FIELD, K, N, NULL, NULL, NULL); }
field(A) ::= FRAMES(K) fraction(N). { A = node_make(p, NODE_FIELD, K, N, NULL, NULL, NULL); }
field(A) ::= FRAMES(K) number(N) DROP(D). { A = node_make(p, NODE_FIELD, K, N, node_leaf(p, NODE_FLAG, D), NULL, NULL); }
field(A) ::= FRAMES(K) fraction(N) DROP(D). { A = node_make(p, NODE_FIELD, K, N, node_leaf(p, NODE_FLAG, D), NULL, NULL); }
field(A) ::= timeword(K) number(N) unit(U). { A = node_make(p, NODE_FIELD, K, node_wrap(p, NODE_SECONDS, N, U), NULL, NULL, NULL); }
%type fieldword { struct token }
fieldword(A) ::= TITLE|SERIES|NUMBER|LANGUAGE|DATE|USE|COMPOSER|YEAR|KIND|RIGHTS|RIGHTS_HOLDER(K). { A = K; }
fieldword(A) ::= OF|FROM|STARTS|LENGTH|TRACK|SPEED|TUNING|LABEL|EDITION|PUBLISHER|FILE|PAGES|PAGE|AUTHOR(K). { A = K; }
fieldword(A) ::= URL|NOTE|SAID|TRUE|KNAME|FAMILY|REED|SOUNDS|RANGE|COMMON|CLEF|PROGRAM|SOURCE|SYMBOLS|TONES(K). { A = K; }
fieldword(A) ::= LINE|LINES|RATE|SPEECH|ACCIDENTALS(K). { A = K; }
%type timeword { struct token }
timeword(A) ::= SHORTEST|LONGEST|GAP|CLOSE(K). { A = K; }
unit(A) ::= NAME(N). { A = node_leaf(p, NODE_NAME, N); }
unit(A) ::= FRAMES(N). { A = node_leaf(p, NODE_NAME, N); }

values(A) ::= value(V). { A = node_list(p, V); }
values(A) ::= values(L) value(V). { A = node_add(L, V); }
values(A) ::= values(L) COMMA value(V). { A = node_add(L, V); }
values(A) ::= values(L) TO value(V). { A = node_add(L, V); }
value(A) ::= name(V). { A = V; }
value(A) ::= string(V). { A = V; }
value(A) ::= number(V). { A = V; }
value(A) ::= fraction(V). { A = V; }
value(A) ::= MUSIC(T). { A = node_leaf(p, NODE_MUSIC, T); }
value(A) ::= DEGREE(T). { A = node_leaf(p, NODE_DEGREE, T); }
value(A) ::= TIME(T). { A = node_leaf(p, NODE_TIME, T); }
value(A) ::= open(O). { A = O; }

/* 3. Facts, readings, spellings, holes, moved edits */
statement(A) ::= FACT(K) name(N) string(S). { A = node_make(p, NODE_STATEMENT, K, N, S, NULL, NULL); }
statement(A) ::= FACT(K) name(N) string(S) FROM name(C). { A = node_make(p, NODE_STATEMENT, K, N, S, C, NULL); }
statement(A) ::= FACT(K) name(N) string(S) FROM name(C) PAGE value(V). { A = node_make(p, NODE_STATEMENT, K, N, S, C, V); }
statement(A) ::= FACT(K) name(N) string(S) FROM open(O). { A = node_make(p, NODE_STATEMENT, K, N, S, O, NULL); }
statement(A) ::= READING(K) name(N) string(S). { A = node_make(p, NODE_STATEMENT, K, N, S, NULL, NULL); }
statement(A) ::= SPELL(K) string(S). { A = node_make(p, NODE_STATEMENT, K, S, NULL, NULL, NULL); }
statement(A) ::= SPELL(K) string(S) SAID string(T). { A = node_make(p, NODE_STATEMENT, K, S, NULL, T, NULL); }
statement(A) ::= SPELL(K) string(S) NEVER strings(L). { A = node_make(p, NODE_STATEMENT, K, S, L, NULL, NULL); }
statement(A) ::= SPELL(K) string(S) NEVER strings(L) SAID string(T). { A = node_make(p, NODE_STATEMENT, K, S, L, T, NULL); }
statement(A) ::= open(O). { A = O; }
statement(A) ::= RECUT(K) AT time(T) BY time(U). { A = node_make(p, NODE_STATEMENT, K, T, U, NULL, NULL); }
strings(A) ::= string(S). { A = node_list(p, S); }
strings(A) ::= strings(L) COMMA string(S). { A = node_add(L, S); }
statement(A) ::= RECUT(K) AT time(T) BY MARK(M) time(U). { A = node_make(p, NODE_STATEMENT, K, T, node_make(p, NODE_EVENT, M, NULL, NULL, NULL, NULL), U, NULL); }
open(A) ::= OPEN(K) string(S). { A = node_make(p, NODE_OPEN, K, S, NULL, NULL, NULL); }

/* 4. Passages */
statement(A) ::= PASSAGE(K) name(N) OF name(W) passage_items(L) RBRACE. { A = node_make(p, NODE_STATEMENT, K, N, W, L, NULL); }
passage_items(A) ::= LBRACE. { A = node_list(p, NULL); }
passage_items(A) ::= passage_items(L) END. { A = L; }
passage_items(A) ::= passage_items(L) passage_item(I). { A = node_add(L, I); }
passage_items(A) ::= passage_items(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }

passage_item(A) ::= HEARD(K) IN name(R) range(T). { A = node_make(p, NODE_FIELD, K, R, T, NULL, NULL); }
passage_item(A) ::= HEARD(K) IN name(R) open(T). { A = node_make(p, NODE_FIELD, K, R, T, NULL, NULL); }
passage_item(A) ::= BASIS(K) EAR(B). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_FLAG, B), NULL, NULL, NULL); }
passage_item(A) ::= BASIS(K) REDUCTION(B). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_FLAG, B), NULL, NULL, NULL); }
passage_item(A) ::= BASIS(K) GUESS(B). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_FLAG, B), NULL, NULL, NULL); }
passage_item(A) ::= BASIS(K) SCORE(B) name(N). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_FLAG, B), N, NULL, NULL); }
passage_item(A) ::= BASIS(K) SCORE(B) name(N) places(S). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_FLAG, B), N, S, NULL); }
passage_item(A) ::= PICKUP(K) fraction(V). { A = node_make(p, NODE_FIELD, K, V, NULL, NULL, NULL); }
passage_item(A) ::= setting_change(C). { A = C; }
passage_item(A) ::= FROM BAR number(B) COLON setting_change(C). { A = node_wrap(p, NODE_CHANGE, B, C); }
passage_item(A) ::= open(O). { A = O; }
setting_change(A) ::= METER(K) fraction(V). { A = node_make(p, NODE_FIELD, K, V, NULL, NULL, NULL); }
setting_change(A) ::= METER(K) GROUPS(V). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_GROUPS, V), NULL, NULL, NULL); }
setting_change(A) ::= TEMPO(K) fraction(V) EQUALS number(N). { A = node_make(p, NODE_FIELD, K, V, N, NULL, NULL); }
setting_change(A) ::= TEMPO(K) fraction(V) EQUALS fraction(N). { A = node_make(p, NODE_FIELD, K, V, N, NULL, NULL); }
setting_change(A) ::= TEMPO(K) open(O). { A = node_make(p, NODE_FIELD, K, O, NULL, NULL, NULL); }
setting_change(A) ::= KEY(K) MUSIC(M) name(N). { A = node_make(p, NODE_FIELD, K, node_leaf(p, NODE_MUSIC, M), N, NULL, NULL); }
setting_change(A) ::= KEY(K) open(O). { A = node_make(p, NODE_FIELD, K, O, NULL, NULL, NULL); }

/* 5. Parts */
passage_item(A) ::= PART(K) name(N) FOR names(I) flags(F) part_items(L) RBRACE. { A = node_make(p, NODE_STATEMENT, K, N, I, F, L); }
names(A) ::= name(N). { A = node_list(p, N); }
names(A) ::= names(L) COMMA name(N). { A = node_add(L, N); }
names(A) ::= names(L) AND name(N). { A = node_add(L, N); }
flags(A) ::= . { A = node_list(p, NULL); }
flags(A) ::= flags(L) MUTED|SOLO|WRITTEN|SOUNDING(T). { A = node_add(L, node_leaf(p, NODE_FLAG, T)); }
part_items(A) ::= LBRACE. { A = node_list(p, NULL); }
part_items(A) ::= part_items(L) END. { A = L; }
part_items(A) ::= part_items(L) part_item(I). { A = node_add(L, I); }
part_items(A) ::= part_items(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }
part_item(A) ::= VOICES(K) voice_names(V). { A = node_make(p, NODE_FIELD, K, V, NULL, NULL, NULL); }
part_item(A) ::= BAR(K) number(N) COLON events(E). { A = node_adopt(node_make(p, NODE_ROW, K, N, NULL, NULL, NULL), E); }
voice_names(A) ::= name(N). { A = node_list(p, N); }
voice_names(A) ::= voice_names(L) name(N). { A = node_add(L, N); }
voice_names(A) ::= voice_names(L) COMMA name(N). { A = node_add(L, N); }

events(A) ::= event(E). { A = node_list(p, E); }
events(A) ::= events(L) event(E). { A = node_add(L, E); }
event(A) ::= fraction(V). { A = V; }
event(A) ::= note(N). { A = N; }
event(A) ::= stack(S). { A = S; }
event(A) ::= REST|HOLD|PIPE|UNCERTAIN(T). { A = node_make(p, NODE_EVENT, T, NULL, NULL, NULL, NULL); }
event(A) ::= open(O). { A = O; }
stack(A) ::= LPAREN(K) notes(L) RPAREN(E). { A = node_adopt(node_make(p, NODE_STACK, K, NULL, NULL, NULL, NULL), L); A->where.hi = E.hi; }
notes(A) ::= note(N). { A = node_list(p, N); }
notes(A) ::= notes(L) note(N). { A = node_add(L, N); }
notes(A) ::= notes(L) UNCERTAIN(T). { A = node_add(L, node_make(p, NODE_EVENT, T, NULL, NULL, NULL, NULL)); }
note(A) ::= MUSIC(T). { A = node_wrap(p, NODE_NOTE, node_leaf(p, NODE_MUSIC, T), NULL); }
note(A) ::= name(V) COLON MUSIC(T). { A = node_wrap(p, NODE_NOTE, node_leaf(p, NODE_MUSIC, T), V); }

/* 6. Harmony */
passage_item(A) ::= HARMONY(K) harmony_items(L) RBRACE. { A = node_make(p, NODE_STATEMENT, K, L, NULL, NULL, NULL); }
harmony_items(A) ::= LBRACE. { A = node_list(p, NULL); }
harmony_items(A) ::= harmony_items(L) END. { A = L; }
harmony_items(A) ::= harmony_items(L) harmony_row(I). { A = node_add(L, I); }
harmony_items(A) ::= harmony_items(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }
harmony_row(A) ::= BAR(K) number(N) COLON readings(E). { A = node_adopt(node_make(p, NODE_ROW, K, N, NULL, NULL, NULL), E); }
readings(A) ::= reading(E). { A = node_list(p, E); }
readings(A) ::= readings(L) reading(E). { A = node_add(L, E); }
reading(A) ::= fraction(V). { A = V; }
reading(A) ::= symbol(S). { A = S; }
reading(A) ::= REST|HOLD|PIPE|UNCERTAIN(T). { A = node_make(p, NODE_EVENT, T, NULL, NULL, NULL, NULL); }
reading(A) ::= open(O). { A = O; }
symbol(A) ::= layers(L). { A = L; }
symbol(A) ::= layers(L) AS stacks(S). { A = node_adopt(L, S); }
layers(A) ::= layer(M). { A = node_wrap(p, NODE_SYMBOL, M, NULL); }
layers(A) ::= layers(L) OVER layer(M). { A = node_add(L, M); }
layer(A) ::= MUSIC(T). { A = node_leaf(p, NODE_MUSIC, T); }
layer(A) ::= NAME(T). { A = node_leaf(p, NODE_MUSIC, T); }
stacks(A) ::= stack(S). { A = node_list(p, S); }
stacks(A) ::= stacks(L) OVER stack(S). { A = node_add(L, S); }

/* 7. Figures */
passage_item(A) ::= figure(F). { A = F; }
statement(A) ::= figure(F). { A = F; }
figure(A) ::= FIGURE(K) name(N) IS name(P) places(S). { A = node_make(p, NODE_STATEMENT, K, N, P, S, NULL); }
figure(A) ::= FIGURE(K) name(N) IS name(P) IN places(S). { A = node_make(p, NODE_STATEMENT, K, N, P, S, NULL); }
figure(A) ::= FIGURE(K) name(N) IS name(P) OF name(Q) places(S). { A = node_make(p, NODE_STATEMENT, K, N, P, S, Q); }
figure(A) ::= FIGURE(K) name(N) figure_body(L) RBRACE. { A = node_make(p, NODE_STATEMENT, K, N, L, NULL, NULL); }
figure_body(A) ::= LBRACE. { A = node_list(p, NULL); }
figure_body(A) ::= figure_body(L) END. { A = L; }
figure_body(A) ::= figure_body(L) event(E). { A = node_add(L, E); }
figure_body(A) ::= figure_body(L) error END. { A = node_add(L, node_error(p)); yypParser->yyerrcnt = -1; }

/* 8. Claims: a sentence is read by the claim kinds, compiler/claims */
statement(A) ::= CLAIM(K) name(N) COLON sentence(S). { A = node_make(p, NODE_STATEMENT, K, N, S, NULL, NULL); }
sentence(A) ::= word(W). { A = node_wrap(p, NODE_SENTENCE, W, NULL); }
sentence(A) ::= sentence(S) word(W). { A = node_add(S, W); }
word(A) ::= NAME|MUSIC|INT|DECIMAL|FRACTION|GROUPS|TIME|DEGREE|STRING|MARK|COLON|COMMA|PIPE|EQUALS|LPAREN|RPAREN(T). { A = node_leaf(p, NODE_WORD, T); }

/* 9. The timeline */
statement(A) ::= AT(K) time(T) action(B). { A = node_make(p, NODE_STATEMENT, K, T, B, NULL, NULL); }
statement(A) ::= AT(K) open(T) action(B). { A = node_make(p, NODE_STATEMENT, K, T, B, NULL, NULL); }
statement(A) ::= THEN(K) action(B). { A = node_make(p, NODE_STATEMENT, K, B, NULL, NULL, NULL); }
action(A) ::= CHAPTER(K) string(S). { A = node_make(p, NODE_ACTION, K, S, NULL, NULL, NULL); }
action(A) ::= SAY(K) LBRACE prose(P) RBRACE. { A = node_make(p, NODE_ACTION, K, P, NULL, NULL, NULL); }
action(A) ::= SAY(K) FROM range(R) LBRACE prose(P) RBRACE. { A = node_make(p, NODE_ACTION, K, P, R, NULL, NULL); }
action(A) ::= PLAY(K) name(N). { A = node_make(p, NODE_ACTION, K, N, NULL, NULL, NULL); }
action(A) ::= PLAY(K) name(N) places(S). { A = node_make(p, NODE_ACTION, K, N, S, NULL, NULL); }
action(A) ::= PLAY(K) name(N) FROM name(R). { A = node_make(p, NODE_ACTION, K, N, R, NULL, NULL); }
action(A) ::= PLAY(K) name(N) FROM name(R) places(S). { A = node_make(p, NODE_ACTION, K, N, R, S, NULL); }
action(A) ::= DEMO(K) names(L). { A = node_make(p, NODE_ACTION, K, L, NULL, NULL, NULL); }
action(A) ::= DEMO(K) names(L) places(S). { A = node_make(p, NODE_ACTION, K, L, S, NULL, NULL); }
action(A) ::= SHOW(K) names(L) AS name(F). { A = node_make(p, NODE_ACTION, K, L, F, NULL, NULL); }
action(A) ::= SHOW(K) names(L) places(S) AS name(F). { A = node_make(p, NODE_ACTION, K, L, F, S, NULL); }
action(A) ::= SILENCE(K). { A = node_make(p, NODE_ACTION, K, NULL, NULL, NULL, NULL); }
action(A) ::= SILENCE(K) FOR length(T). { A = node_make(p, NODE_ACTION, K, T, NULL, NULL, NULL); }
action(A) ::= SILENCE(K) length(T). { A = node_make(p, NODE_ACTION, K, T, NULL, NULL, NULL); }
prose(A) ::= PROSE(T). { A = node_leaf(p, NODE_PROSE, T); }

/* 10. Places, times, leaves */
places(A) ::= place(P). { A = node_wrap(p, NODE_PLACES, P, NULL); }
places(A) ::= place(P) TO place(Q). { A = node_wrap(p, NODE_PLACES, P, Q); }
places(A) ::= place(P) TO number(Q). { A = node_wrap(p, NODE_PLACES, P, node_wrap(p, NODE_PLACE, Q, NULL)); }
places(A) ::= BARS number(P) TO number(Q). { A = node_wrap(p, NODE_PLACES, node_wrap(p, NODE_PLACE, P, NULL), node_wrap(p, NODE_PLACE, Q, NULL)); }
place(A) ::= BAR number(N). { A = node_wrap(p, NODE_PLACE, N, NULL); }
place(A) ::= BAR number(N) BEAT number(B). { A = node_wrap(p, NODE_PLACE, N, B); }
range(A) ::= time(T) TO time(U). { A = node_wrap(p, NODE_RANGE, T, U); }
time(A) ::= TIME(T). { A = node_leaf(p, NODE_TIME, T); }
time(A) ::= length(L). { A = L; }
length(A) ::= number(N) unit(U). { A = node_wrap(p, NODE_SECONDS, N, U); }
name(A) ::= NAME(T). { A = node_leaf(p, NODE_NAME, T); }
string(A) ::= STRING(T). { A = node_leaf(p, NODE_STRING, T); }
number(A) ::= INT|DECIMAL(T). { A = node_leaf(p, NODE_NUMBER, T); }
fraction(A) ::= FRACTION(T). { A = node_leaf(p, NODE_VALUE, T); }
