### Every word of the report, the players' sheet, their drawings, their playback and the clip lists.
### To translate: `scrim words > mine.ftl`, change what stands to the right of each `=`, then `scrim report --words mine.ftl`.
### The form is Project Fluent's (https://projectfluent.org/fluent/guide). `{ $name }` is a value that scrim puts in: keep it, move
### it, use it twice or not at all. `{ $n -> ... }` chooses by a number's plural of the language, or by a word in brackets.
### Between a number and what it counts stands a no-break space (U+00A0), so that no line ends there.

## The language, as `lang` of an HTML page has it; plurals follow from it. And what parts whole numbers from decimals.

language = en
decimal-mark = .

## Numbers

percent = { $number } %
percent-range = { $low }–{ $high } %
seconds = { $number } s
seconds-range = { $low }–{ $high } s
metres = { $number } m
metres-range = { $low }–{ $high } m
points-measured = { $number } points
points-measured-range = { $low }–{ $high } points
hits-of = { $hits } of { $n }; { $range }
share = { $percent } ({ $hits } of { $n }; { $range })
sample = n = { $n }
points-per-possession = { $number } points per possession ({ $sample })
points-per-possession-none = no possession with known points
# A word and how often it came up: `switch 4`.
tag-times = { $tag } { $n }
# A player and how often: `#4 Harrowby (3)`.
player-times = { $player } ({ $n })
sample-small = small sample
sample-very-small = very small sample
no-cases = no cases
too-few-cases = too few cases
# In place of a number of the season's that is not counted: such ball screens; all ball screens or possessions.
cell-few-of = under { $least } of { $n }
cell-few = under { $least } in all
# Beside a number of the season's.
more = more
less = less

## Counts

games =
    { $n ->
        [one] { $n } game
       *[other] { $n } games
    }
ball-screens =
    { $n ->
        [one] { $n } ball screen
       *[other] { $n } ball screens
    }
handoffs =
    { $n ->
        [one] { $n } handoff
       *[other] { $n } handoffs
    }
points =
    { $n ->
        [one] { $n } point
       *[other] { $n } points
    }
no-points = no points
points-unknown = points not known
runs =
    { $n ->
        [one] { $n } run
       *[other] { $n } runs
    }
possessions =
    { $n ->
        [one] { $n } possession
       *[other] { $n } possessions
    }

## Times and games. P2 4:31 is the second period, with 4:31 on the game clock.

period-clock = P{ $period } { $clock }
period-since = P{ $period } { $time } in
with-video = { $when } (video { $video })
day =
    { $day } { $month ->
        [1] Jan
        [2] Feb
        [3] Mar
        [4] Apr
        [5] May
        [6] Jun
        [7] Jul
        [8] Aug
        [9] Sep
        [10] Oct
        [11] Nov
       *[12] Dec
    }
game-called = { $opponent } { $day }

## Coverages. `a`: inside a sentence, with its article. `against` and `when` begin a sentence about their offence and about their
## defence.

coverage-drop = drop
    .a = a drop
    .against = Against a drop
    .when = When they drop,
    .meaning = the screener's defender stays below the screen
    .rule = Drop on their ball screens: it gave up least.
coverage-level = at the level
    .a = a coverage at the level of the screen
    .against = Against a defender at the level of the screen
    .when = When they come up to the level of the screen,
    .meaning = the screener's defender comes up to the level of the screen
    .rule = Come up to the level of the screen on their ball screens: it gave up least.
coverage-hedge = hedge
    .a = a hedge
    .against = Against a hedge
    .when = When they hedge,
    .meaning = the screener's defender steps out past the screen, then recovers
    .rule = Hedge on their ball screens: it gave up least.
coverage-blitz = blitz
    .a = a blitz
    .against = Against a blitz
    .when = When they blitz,
    .meaning = both defenders stay on the ball
    .rule = Blitz on their ball screens: it gave up least.
coverage-switch = switch
    .a = a switch
    .against = Against a switch
    .when = When they switch,
    .meaning = the two defenders switch
    .rule = Switch on their ball screens: it gave up least.
coverage-ice = ice
    .a = ice
    .against = Against ice
    .when = When they ice,
    .meaning = the handler is forced away from the screen
    .rule = Play ice on their ball screens: it gave up least.
coverage-unclear = coverage unclear
    .a = a coverage unclear
    .meaning = could not be read

unclear-no_screener_defender = nobody guards the screener
unclear-no_user_defender = nobody guards the handler
unclear-not_seen = a player is not seen
unclear-ended_too_soon = the play ended too soon
unclear-too_close = between two coverages

## How the handler's defender gets around the screen

path-over = over
    .rule = Go over their screens: it gave up least.
path-under = under
    .rule = Go under their screens: it gave up least.

## What the nearest other defender does, after a name or alone

helper-tag = tags the roller
    .by = { $helper } tags the roller
helper-sag = sags to the lane
    .by = { $helper } sags to the lane
helper-stunt = stunts at the ball
    .by = { $helper } stunts at the ball
helper-unknown = a helper

## Places on the floor

zone-rim = rim
zone-paint = paint
zone-left_block = left block
zone-right_block = right block
zone-left_elbow = left elbow
zone-right_elbow = right elbow
zone-nail = nail
zone-left_short_corner = left short corner
zone-right_short_corner = right short corner
zone-left_corner = left corner
zone-right_corner = right corner
zone-left_wing = left wing
zone-right_wing = right wing
zone-left_slot = left slot
zone-right_slot = right slot
zone-top = top
zone-back_court = back court
side-left = left
    .on = on the left
side-middle =
    .on = in the middle
side-right = right
    .on = on the right

## Shapes of the five

alignment-five_out = five out
alignment-four_out_one_in = four out, one in
alignment-three_out_two_in = three out, two in
alignment-horns = horns
alignment-four_high = four high
alignment-box = box
alignment-stack = stack
alignment-other = no named shape
alignment-unknown = alignment not known

## Actions. `a`: inside a sentence, with its article. `entry`: as what a ball screen came out of, where that has words of its own.

action-none = no action
action-ball_screen = ball screen
    .entry = another ball screen
    .a = another ball screen
action-handoff = handoff
    .a = a handoff
action-down = down screen
    .a = a down screen
action-back = back screen
    .a = a back screen
action-rub = rub screen
    .a = a rub screen
action-cross = cross screen
    .a = a cross screen
action-flex = flex screen
    .a = a flex screen
action-flare = flare screen
    .a = a flare screen
action-zipper = zipper screen
    .a = a zipper screen
action-over_top = over-the-top screen
    .a = an over-the-top screen
action-exit = exit screen
    .a = an exit screen
action-other = unnamed off-ball screen
    .a = an unnamed off-ball screen
action-basket = basket cut
    .a = a basket cut
action-backdoor = backdoor cut
    .a = a backdoor cut
action-curl = curl
    .a = a curl
action-fade = fade
    .a = a fade
action-pop_out = pop out
    .a = a pop out
action-flash = flash
    .a = a flash
action-rub_cut = rub cut
    .a = a rub cut
action-flex_cut = flex cut
    .a = a flex cut
action-baseline = baseline cut
    .a = a baseline cut
action-lift = lift from the corner
    .a = a lift from the corner
action-drift = drift to the corner
    .a = a drift to the corner
action-fill = fill
    .a = a fill
# What came before a ball screen: handler or screener came out of the action; it was the last one before, but they did not; there was none.
before-out-of = out of { $action }
before-first = { $action } first
before-nothing = straight into it
# An action with its side of the floor: `down screen left`.
action-side = { $action } { $side }
# In a set whose mirror images are one: the first action with a side, and later ones on its side or the other.
action-both-sides = { $action } (both sides)
action-same-side = { $action } (same side)
action-other-side = { $action } (other side)

## What became of the screen

outcome-used = used
outcome-rejected = rejected
outcome-slipped = slipped
outcome-ghosted = ghosted
outcome-flipped = flipped
outcome-unused = not used

## What the screener does. `watch`: what a defender does about it, after `In a hedge,`. `copy`: what to do oneself, after `Against a hedge,`.

screener-roll = screener rolls
    .watch = stop the roll
    .copy = roll
screener-short_roll = screener short-rolls
    .watch = stop the short roll
    .copy = stop short on the roll
screener-pop = screener pops
    .watch = get out to the pop
    .copy = pop
screener-slip = screener slips
    .watch = stay with the screener until they stand: they slip
    .copy = slip the screen
screener-ghost = screener ghosts
    .watch = stay with the screener: they run through without screening
    .copy = ghost the screen
screener-rescreen = screener screens again
    .watch = stay with the ball after the screen: they screen again
    .copy = screen again
screener-stay = screener stays

## What the handler does. `stop`: what a defender does about it, after `In a hedge,`.

handler-drive = handler drives
    .stop = stop the drive
handler-pull_up = handler pulls up
    .stop = contest the pull-up
handler-step_back = handler steps back
    .stop = contest the step-back
handler-split = handler splits the two defenders
    .stop = close the gap between you: they split it
handler-reject = handler rejects the screen
    .stop = do not let the handler reject it
handler-pass = handler passes
    .stop = take away the first pass
handler-reset = handler resets

## Where the handler passes to

target-screener = to the screener
target-weak_side = to the weak side
    .named = to { $player } on the weak side
target-strong_side = to the strong side
    .named = to { $player } on the strong side
target-player = to { $player }
handler-passes-to = { $does } { $target }
handler-then-passes = { $does }, passes { $target }
option = { $handler }, { $screener }

## How sure a tag is

confidence-almost-certain = almost certain
confidence-very-likely = very likely
confidence-likely = likely
confidence-more-likely = more likely than not
confidence-doubtful = doubtful

## A screen and what came of it

screen-denied = { $user } is sent the other way before { $screener } can screen
screen-handoff = { $screener } hands the ball to { $user }
screen-used = { $screener } screens, { $user } comes off it
screen-rejected = { $screener } screens, { $user } rejects it
screen-slipped = { $screener } comes to screen for { $user } and slips to the rim
screen-ghosted = { $screener } ghosts the screen for { $user }
screen-flipped = { $screener } screens for { $user }, then flips it to the other side
screen-unused = { $screener } screens for { $user }, who does not use it
screen-off-ball = { $screener } sets { $kind } for { $user }, { $outcome }
shot-misses = { $shooter } misses
shot-misses-value = { $shooter } misses a { $value }
shot-scores = { $shooter } scores { $points }
shot-shoots = { $shooter } shoots
shot-shoots-value = { $shooter } shoots a { $value }
shot-space = { $shot } with { $space } m of space

## What sets a team apart from its league. `ours` is the team's number, `others` the sentence below it.

standing-others =
    { $whom ->
        [defenders] other teams' defenders
        [pairs] other teams' pairs
        [against] against the other teams
       *[teams] the other teams
    } { $number }
standing-straight = On { $ours } of their ball screens neither handler nor screener comes out of another action; { $others }.
standing-entry = They come out of { $entry } on { $ours } of their ball screens; { $others }.
standing-entry-side = They come out of { $entry } into a ball screen { $place } on { $ours } of their ball screens; { $others }.
standing-side = They set the ball screen { $place } on { $ours } of their ball screens; { $others }.
standing-coverage = They play { $coverage } on { $ours } of the ball screens against them; { $others }.
# `met` is `against` or `when` of a coverage.
standing-does = { $met } the { $does } on { $ours }; { $others }.
standing-beat = { $met } the offence gets points or an open shot on { $ours }; { $others }.
standing-action-beat = { $met } when the { $does }, the offence gets points or an open shot on { $ours }; { $others }.
standing-points = { $met } the offence gets { $ours } a possession; { $others }.
standing-open-shot = { $met } an open shot comes of { $ours } of them; { $others }.
standing-screener-at-rim = { $met } the screener shoots at the rim on { $ours }; { $others }.
standing-corner-three = { $met } a three from the corner comes of { $ours } of them; { $others }.
standing-turnover = { $met } the ball is turned over on { $ours }; { $others }.
# `begins` is `within` after a colon.
standing-pair =
    { $begins ->
        [within] of
       *[sentence] Of
    } the ball screens that { $screener } sets for { $handler }, { $ours } are { $outcome ->
        [flipped] flipped to the other side
        [rejected] rejected
        [slipped] slipped
        [ghosted] ghosted
        [used] used
       *[unused] not used
    }; { $others }.
standing-path =
    { $defender }, on the ball, { $path ->
        [over] goes over the screen
        [under] goes under the screen
        [denied] keeps the handler from the screen
       *[switched] switches
    } on { $ours }; { $others }.
standing-late = { $defender }, guarding the screener, is in place, where they get there at all, { $ours } after the screen is set, { $when }; { $others }.
standing-gap = { $defender }, guarding the screener, is { $ours } out of position when the screen is set, { $when }; { $others }.
standing-when-straight = when it comes out of no other action
standing-when-entry = when it comes out of { $entry }

## Whether it pays

pay =
    { $verdict ->
        [pays] It pays
        [pays-not] It does not pay
        [costs] It costs them
        [helps] It helps them
        [more-brought] It has brought more so far, which may be chance
        [less-brought] It has brought less so far, which may be chance
        [more-given-up] It has given up more so far, which may be chance
        [less-given-up] It has given up less so far, which may be chance
       *[alike] It has made no difference so far
    }: { $of ->
        [answer] { $with } points a possession with it, { $without } on the others of these ball screens
       *[mean] { $with } points a possession on these ball screens, { $without } on the team's others
    } (difference { $low } to { $high }).

## Rules for the players who meet the team

rule-straight = Get to the ball screen at once: handler and screener come straight into it.
rule-ball-screen = After a ball screen stay with the ball: another one comes.
rule-entry = When you see { $entry }, call out the ball screen: it often comes next.
rule-entry-side = When you see { $entry }, call out the ball screen { $place }: it often comes next.
rule-side = Be { $place } early: they set the ball screen there.
rule-coverage = Set your ball screens for { $coverage }: they play it more than others.
rule-watch = In { $coverage }, { $watch }.
rule-copy = Against { $coverage }, { $copy }: it has paid.
rule-attack = Attack { $coverage }: it gives up more than other teams’.
rule-play-else = Play something else than { $coverage }: they get more from it than other teams.
rule-play = Play { $coverage }: they get less from it than other teams.
rule-rim-keep = In { $coverage }, keep the screener from the rim.
rule-rim-throw = Against { $coverage }, throw to the screener at the rim.
rule-corner-keep = In { $coverage }, do not leave the corners.
rule-corner-throw = Against { $coverage }, throw to the corners.
rule-pair-flipped = When { $screener } screens for { $handler }, the first side is not the real one: stay with { $screener } and call the flip.
rule-pair-slipped = When { $screener } screens for { $handler }, stay with { $screener } until they stand: they slip.
rule-pair-ghosted = When { $screener } screens for { $handler }, stay with { $screener }: they run through without screening.
rule-pair-rejected = When { $screener } screens for { $handler }, do not let { $handler } go away from the screen.
rule-path-under = { $defender } goes under the screen: shoot behind it.
rule-path-over = { $defender } goes over the screen: turn the corner.
rule-path-denied = { $defender } keeps you from the screen: reject it.
rule-path-switched = { $defender } switches: look for the mismatch.
# `why` is `late` or `gap`.
rule-defender-straight =
    Screen with the player whom { $defender } guards: { $defender } is { $why ->
        [late] late
       *[gap] out of position
    }.
rule-defender-entry =
    After { $entry }, screen with the player whom { $defender } guards: { $defender } is { $why ->
        [late] late
       *[gap] out of position
    }.

## The page

# The title in the browser.
page-title = { $team }: ball screens
# A team's name and its id.
page-team = { $name } ({ $team })
page-kicker = Ball-screen report
page-contents = Contents
# Before the headings of what is folded, on paper.
page-unprinted = Not printed, as it is folded; open the page for it:
page-footer = Made by scrim { $version } from tracking tables. Tags are estimates: look at the film before you act on one. Tracking data are personal data of the players.
# `which` is `last` when only the last games were asked for; `days` is `none`, `one` or `span`.
page-scope =
    { $which ->
        [last] Last { $games }
       *[all] { $games }
    }{ $days ->
        [none] { "" }
        [one] , { $first }
       *[span] , { $first } to { $last }
    }, against { $teams }
these-games =
    { $n ->
        [one] the { $n } game of this report
       *[other] the { $n } games of this report
    }
whole-season = all games of the season { $season }
whole-season-unknown = all games without a season

## Heads of columns, and what several parts say

column-points = Points per possession
column-share = Share of all
column-how-often = How often
column-beat = Points or an open shot
column-coverage = Coverage
column-place = Place
column-defender = Defender
clips-see = See { $clips }
clips-see-more = See { $clips } and { $n } more
pair-for = { $screener } for { $handler }
no-ball-screen = None of their ball screens was found.
no-coverage-read = No coverage could be read.
lacks-entries = These tables have no entries: run the games again with a newer version to get them.
lacks-sequences = These tables have no sequences: run the games again with a newer version to get them.
lacks-coverages = These tables have no coverages: run the games again to get them.
lacks-dilemmas = These tables have no dilemmas: run the games again to see whom help left open.
lacks-season = The season's tables are not there, or are of an older version: put the season together again to see what sets them apart.

## What sets them apart

findings-heading = What sets them apart
findings-note =
    Picked out of { $n ->
        [one] { $n } comparison
       *[other] { $n } comparisons
    } with the other teams; about one in fifty such findings is chance. Look at the film.
findings-too-few = There are too few games, or too few other teams, to say what sets them apart.
findings-none = Nothing that is counted here sets them apart from the other teams by more than chance would.
finding-by-whom = Most clearly here: { $finding }
finding-count =
    { $side ->
        [offense] Their offence
       *[defense] Their defence
    }: { $count }, in { $games }.
finding-no-clip = No clip of it in these games.

## In short

brief-heading = In short
brief-counted = Counted over { $games }.
brief-nothing = None of their half-court possessions was found in these games, so there is nothing to report.
brief-run =
    They run a ball screen on { $percent } of half-court possessions ({ $count }): { $ball-screens } in { $games }{ $game-count ->
        [0] { "" }
        [1] { "" }
       *[other] , { $per-game } per game
    }{ $handoff-count ->
        [0] { "" }
       *[other] , and { $handoffs }
    }.
# One of several things beside the next: `left slot 50 % (3 of 6; 19–81 %)`.
brief-one = { $name } { $share }
brief-pair = { $screener } screening for { $handler }
brief-pair-leads = Look for { $first }, { $share }.
brief-pair-alike = No one pair leads: { $alike }.
brief-place-leads = Look at the { $first }, { $share }.
brief-place-alike = No one place leads: { $alike }.
brief-entry-leads = { $percent } of them come out of another action ({ $count }), most often { $first }, { $share }.
brief-entry-alike = { $percent } of them come out of another action ({ $count }), none of them clearly most: { $alike }.
brief-faced = Against them: { $coverages } ({ $n } that could be read).
brief-faced-mixed = No coverage is above a third: the teams that meet them mix.
brief-scored-more = They scored more against { $best }, { $high }, than against { $worst }, { $low }.
brief-scored-alike = What they scored does not clearly differ from coverage to coverage.
brief-disguise = { $percent } were disguised as something else ({ $count }).
brief-played = On defence they play { $coverages } ({ $n } that could be read).
brief-played-mixed = No coverage is above a third: they mix, so do not prepare for one.
brief-played-gives = { $first } gives up { $points }.

## The two teams side by side

matchup-attack = Their attack against what { $reader } plays
matchup-defense = What they play against { $reader }’s attack
# The team that the report is about, as who attacks or defends; your own team stands by its name.
matchup-they = they
matchup-nothing = Too few ball screens of the season to set the two teams side by side.
matchup-note = Counted over all games of either team in the season, whichever games this report is about; the league is all its teams together, these two too.
matchup-marks = “More” and “less” stand where a number differs from the other teams’ by more than chance; other differences may be chance.
# `who`, at the beginning of a cell, is a team or `They`.
matchup-plays = { $who } play it
matchup-in-league = league { $league }
matchup-more = Points or an open shot, shots at the rim, corner threes, turnovers: coverage by coverage
matchup-what = What comes of it
matchup-get = { $who } get
matchup-give = { $who } give up
matchup-league = League
matchup-points = Points a possession
matchup-open-shot = Open shots
matchup-at-rim = Screener shoots at the rim
matchup-corner-three = Corner threes
matchup-turnover = Turnovers
matchup-questions = Questions for the staff
matchup-no-question = None of these differences is too big for chance.
question-stay = { $who } play { $coverage } on { $often }. They get points or an open shot from it on { $ours }, other teams on { $league }: do you stay in it?
question-who-has = Against { $coverage } the { $does } on { $ours }, other teams’ on { $league }: who has that player then?
question-play-more = From { $coverage } they get less than other teams do: points or an open shot on { $ours }, others on { $league }. Can you play it more?
question-get-into = They play { $coverage } on { $often } and give up points or an open shot with it on { $ours }, other teams on { $league }: how do you get them into it?
question-answer = They play { $coverage } on { $often }. { $who } get points or an open shot from it on { $ours }, other teams on { $league }: what is your answer to it?

## How they get into ball screens

looks-heading = How they get into ball screens
# Shape and what came before: `Horns, out of a flash`.
look-named = { $shape }, { $before }
look-place = Ball screen at the { $zone }
look-runs = { $look } ({ $runs })
looks-by-place = These tables have no entries, so ball screens are grouped by place. Run the games again with a newer version to see what they come out of.
looks-caption = Looks, the most frequent first
looks-column = Alignment, and what comes before
looks-more =
    { $n ->
        [one] { $n } more look
       *[other] { $n } more looks
    }, each less frequent.
looks-before = “Out of” an action: the handler or the screener came out of it at most five seconds before. An action “first”: the last one before the ball screen, of team-mates or longer ago; neither of the two came out of it. “Straight into it”: no action before the ball screen. The whole chain is in “Sets they repeat”.
looks-no-drawings = No drawings: they need a look with an action before the ball screen, or one that was run at least twice, and its tracks. Tables of older versions hold no tracks.
looks-typical = Typical runs
looks-typical-behind = Typical runs of looks that are less frequent
looks-typical-note = Each is one real possession: of those that were covered and ended as most of its look were, the one most like the others, or the only one.
look-gap = The ball screen follows { $seconds } s later (median).
look-coverage = Most frequent coverage: { $coverage } ({ $hits } of { $n }).
next-caption = From each look, how often a ball screen comes next: { $games }
next-look = Look, both sides together
next-ball-screen = Ball screen next
# `actions` are `tag-times`.
next-else = Otherwise: { $actions }.
next-nothing = nothing more
next-else-note = “Otherwise”: what came next most often where it was no ball screen, in { $games }.

## Coverages that they face and play

faced-heading = Coverages they face, and what each gives up
faced-caption = By what the screener's defender does: { $games }
faced-paths = By how the handler's defender gets around the screen: { $games }
faced-goes = Goes
faced-unread =
    { $n ->
        [one] { $n } ball screen is
       *[other] { $n } ball screens are
    } left out: the coverage could not be read.
faced-answers = What they do against each coverage
# `coverage` is a coverage and a colon; `first` and `second` are `answer-share`.
answer-most = { $coverage }{ $first }.
answer-alike = { $coverage }{ $first }; { $second }: not clearly different.
answer-share = { $handler }, { $screener }, { $share }
answer-to = { $coverage }:{ " " }
played-heading = How they defend ball screens
played-caption = By what the screener's defender does; points are the opponents': { $games }

## Disguised ball screens

disguised-heading = Disguised ball screens
disguised-unjudged = Disguise is judged against what the team did from the same look in its earlier games, and there are no earlier games for any of these ball screens yet.
disguised-few = They hardly disguise their ball screens: { $share } of those that could be judged were disguised as something else.
disguised-gap = Screener's defender { $metres } m out of position when the screen is set (median).
disguised-meaning = A ball screen counts as disguised when it came out of another action and, going by their own earlier games, something else was likelier from that look.
disguised-caption = What it came out of
disguised-column = Came out of
disguised-share = Share of the disguised
disguised-rare =
    Not in the table: { $n ->
        [one] { $n } action
       *[other] { $n } actions
    }, each with fewer than { $least } disguised ball screens, { $in-all } in all.
disguised-scored = Ones that scored, one of each kind
pay-heading = Did it pay? { $games }
pay-line =
    { $measure ->
        [points] Points per possession
        [open-shots] Shots that were open
       *[late] The screener's defender late by
    }: { $hidden } disguised (n = { $hidden-n }), { $plain } not (n = { $plain-n }); difference { $difference } ({ $low } to { $high }).
pay-note = When a range includes zero, the difference may well be chance.

## Sets that they repeat

sets-heading = Sets they repeat
sets-none = None of their sets was run twice in one game.
sets-defense-changed = The defence changed its coverage since the last run
sets-offense-changed = They ran another option than on the last run
sets-caption = Repeated sets, both sides together
sets-column = Set
sets-runs = Runs
sets-in-games = in { $games }
sets-more =
    { $n ->
        [one] { $n } more set
       *[other] { $n } more sets
    }, each run less often.
sets-coverages = Coverages: { $coverages }.
sets-story = Against { $game }: { $runs }
next-offense = What their offence goes to next: { $games }
next-defense = What their defence goes to next: { $games }
next-came =
    { $came ->
        [offense-beat] After their offence had beaten
        [offense-beaten] After their offence was held by
        [defense-beat] After their defence was beaten in
       *[defense-beaten] After their defence held with
    } { $coverage }, { $side ->
        [offense] their next run of the same set brought
       *[defense] it met the next run of the same set with
    } { $next }.
next-most = { $what } most, { $share }
next-mixed = No clear answer to any coverage: they keep mixing.
next-others-mixed = After the others no answer is clear: they keep mixing.

## Who and where

pairs-heading = Who and where
pairs-caption = Screener and handler
pairs-column = Pair
pairs-mostly =
    { $often ->
        [mostly] Mostly
       *[most-often] Most often
    } { $zone } ({ $n }).
pairs-more =
    { $n ->
        [one] { $n } more pair
       *[other] { $n } more pairs
    }, each less frequent.
places-behind = Places, and what became of the screens
places-caption = Where the screen is set; left and right as the handler faces the basket
places-more =
    { $n ->
        [one] { $n } more place
       *[other] { $n } more places
    }, each less frequent.
pairs-outcomes = Outcomes: { $outcomes }.

## Where and when it differs

splits-heading = Where and when it differs
splits-column = Ball screens
splits-side = Side
splits-corner = Corner
splits-screeners = Screeners
splits-time = Time
splits-before = Before
split-side-left = left side
split-side-middle = middle
split-side-right = right side
split-corner-empty = empty corner
split-corner-filled = filled corner
split-double = double screen
split-one = one screener
split-time-1-set = in the set
split-time-2-early = in transition or early
split-time-3-late = late, from 16 s on
split-after-stop = after a stop
split-in-flow = in the flow of play
splits-mostly =
    { $often ->
        [mostly] Mostly against
       *[most-often] Most often against
    } { $coverage } ({ $hits } of { $n }).
splits-note = Corner: whether a team-mate other than handler and screener is in the corner on the screen’s side; screens in the middle have no such corner. Early: used at most 8 s into the possession. Late: from 16 s on, the last 8 s of a 24-second clock; that a rebound resets the clock is not known. A stop: at least 45 s without play before the possession; time-outs are among them.

## Who guards, who helps

guarding-heading = Who guards, who helps
guarding-none = No ball screen against them was found.
guarding-handler = Guarding the handler
guarding-over = Over the screen, of over and under
guarding-screens = Ball screens: { $n }.
guarding-denied = denied the screen { $n }
guarding-switched = switched { $n }
guarding-switched-to-ours = Switched on to our { $players }.
guarding-switched-to = Switched on to { $players }.
guarding-screener = Guarding the screener
guarding-in-place = In place after the set
guarding-known = known for { $known } of { $n }
guarding-all-in-place = How soon they are in place after the screen is set has no column: of those times that are known the middle is 0.0 s for each of them.
guarding-few = Those with fewer than { $least } ball screens
guarding-in-place-note = In place: how long after the screen is set they are where their coverage wants them, the middle of the times that are known. None is known where the screener never stood, the coverage could not be read, or they never got there.
helpers-none = Nobody was seen to help at a ball screen.
helpers-caption = Who helps; the player left open is known where the help took the helper off their place
helpers-column = Helper
helpers-helped = Helped, of all ball screens
helpers-left = The ball got to the player they left
helpers-left-open = Left open { $players }.

## The games, and how to read

reading-heading = The games, and how to read this report
reading-games = Games
game-at = { $away } at { $home }
game-between = { $home } and { $away }
period-usable = P{ $period } { $share } %
game-poor = Tracking is poor in parts (usable: { $periods }).
reading-missing = What is missing
missing-table = Table { $table }: missing for { $games } of { $n }.
missing-poor-game = game { $game } is left out: its data are poor (game_quality says why); --poor-too takes it in
missing-file = { $file } is left out: it cannot be read ({ $error })
reading-numbers = Numbers
reading-findings = What sets them apart: counted over all their games of the season, the clips are from the games of this report. Of all that stand out so at most one in fifty is chance, on average. What other comparisons show of the same ball screens is not counted again. A range counts only how few ball screens there are: tags that are misread are not in it.
reading-shares = Each share comes with its count and its 95 % interval: the range that very likely holds the true share, if these possessions are typical. The line under it shows that range on a scale from 0 to 100 %.
reading-samples = Fewer than 25 cases are marked as a small sample, fewer than 10 as a very small one: a hint, no more.
reading-most = “Most”, “more” and “least” are said only where the ranges do not overlap; else the numbers stand side by side.
reading-clips = Clips: of those that show a thing equally well the latest game’s stand first.
reading-points = Points per possession are all points of the possession, free throws too. A possession counts once in a row, however many ball screens it had: one that met a drop and then a switch counts for both coverages. n is the number of possessions whose points are known; the range uses the spread of all half-court possessions of these games.
reading-ball-screens = Every ball screen counts, in transition too, whatever became of it: a screen that was flipped is two (only where it is said how often a pair flips are the two one). Handoffs are counted apart. Left and right are as seen by a player who faces the basket.
reading-estimates = Everything here is an estimate from tracking. Look at the film before you act on it.

## The players' sheet

sheet-title = { $team }: for the players
sheet-kicker = For the players
sheet-no-rule = Too little is known of this team for a rule.
sheet-note = Circles: the team with the ball. X: the defence. Numbers are estimates from tracking; the film decides.
sheet-beside = points or an open shot on { $share }, on { $others } of the others.
sheet-coverage-worked = { $coverage } worked: { $beside }
sheet-action-worked = What worked: the { $does }. { $beside }
rule-earlier = Be at the ball screen earlier when it comes out of { $entry }.
rule-earlier-why = Half of the time the screener's defenders were in place later than { $late } after the set (n = { $late-n }); than { $other } where the two came straight into it (n = { $other-n }).
rule-most-straight = Get to the ball screen at once: in most of theirs handler and screener come straight into it.
rule-most-entry = When you see { $first }, call out the ball screen: it is their most frequent way into one.
rule-most-one-entry = When you see { $first }, call out the ball screen.
rule-most-entries = When you see { $first } or { $second }, call out the ball screen.
rule-most-place = Be at the { $first } early: they set it there most.
rule-most-places = Be at the { $first } or the { $second } early: they set it there.
rule-most-pair = Get early to the screen of { $first }: it is the one they set most.
rule-most-pairs = Get early to the screen of { $first } and of { $second }.
rule-after = After the screen, { $watch }: it is what they do most.
rule-after-why = On { $percent } of their ball screens the { $does } ({ $hits } of { $n }).
rule-next-why =
    After { $what ->
        [entry] it
       *[entries] one of them
    } a ball screen was the very next action { $percent } of the time ({ $hits } of { $n }).
rule-most-why =
    { $percent } of their ball screens { $what ->
        [straight] come so
        [entry] come out of it
        [entries] come out of one of them
        [place] are set there
       *[pair] are theirs
    } ({ $hits } of { $n }).

## Possessions like one (`scrim like --page`)

alike-title = { $name }: possessions like it
alike-kicker = Possessions like one
alike-asked = The possession
alike-most = Most like it
alike-none = There is none to compare it with.
alike-reading = How to read this page

## Drawings

# The frames of a drawing, when it cannot say more.
moment-before = Before
moment-screen = Ball screen
moment-after = What came of it
moment-covered = ball screen, { $coverage }
caption-at = { $screen }, at the { $zone }
shot-mark = shot
# For those who cannot see the drawing: what happens, action by action.
sketch = { $moment }: { $actions }.
sketch-nobody = nobody moves far
sketch-player = a player
sketch-has-ball = { $player } has the ball at the { $zone }
sketch-passes = { $from } passes to { $to } at the { $zone }
sketch-hands = { $from } hands it to { $to } at the { $zone }
sketch-shoots = { $player } shoots from the { $zone }
sketch-screens = { $player } screens at the { $zone }
sketch-comes-to-screen = { $player } comes to screen at the { $zone }
sketch-goes = { $player } goes { $from-to }
sketch-dribbles = { $player } dribbles { $from-to }
sketch-defender-goes = defender { $player } goes { $from-to }
sketch-within = within the { $zone }
sketch-from-to = from the { $from } to the { $to }
key-heading = Key to the drawings
key-attacker = an attacker, by number
key-with-ball = the attacker with the ball
key-defender = the defender on number 5
key-cut = a cut
key-dribble = a dribble
key-pass = a pass
key-screen = a screen
key-handoff = a handoff
key-one-of-two = one of the two defenders
key-shot = where the shot was taken
key-in-words = Key: a numbered circle is an attacker; a double circle is the attacker with the ball; X with a number under it is the defender on that attacker; a solid line with an arrow is a cut; a zigzag is a dribble; a dashed line is a pass; a bar at the end of a line is a screen; two short strokes are a handoff; a pale line is the path of one of the two defenders in the screen; a dotted circle is where the shot was taken.
key-note = The basket is at the top. Circles are the offence, with jersey numbers; a double circle has the ball at the start of the frame. An X is a defender, with the number of the player they guard; marks that would cover each other are moved apart. Lines are the paths that were run, simplified to within 0.3 m; a path shorter than 1.4 m is not drawn.

## Playback, and tags on their instants

playback-open = Play the real tracks
playback-of = Playback. { $title }
playback-title = { $team }: { $title }
playback-floor = The floor with ten players and the ball, moving as tracked. The list of tags says what happens.
playback-play = Play
playback-play-key = Space
playback-pause = Pause
playback-back = Step back
playback-back-key = Left arrow
playback-on = Step on
playback-on-key = Right arrow
playback-half = Half speed
# The key is H in every language.
playback-half-key = H
playback-close = Close
playback-close-key = Escape
playback-instant = Instant
playback-since = P{ $period }, { $seconds } s in
playback-ball = ball
tag-screen = { $kind } { $outcome }: { $pair }
tag-screen-set = { $kind } set: { $pair }
tag-cut = { $player }: { $cut }
tag-passes = { $player } passes
tag-passes-to = { $player } passes to { $to }
tag-hands = { $player } hands it to { $to }
tag-shoots = { $player } shoots
tag-loses = { $player } loses it

## Clip lists

# How a title begins: `CQF 25 Jan, P1 5:01, TWH 15 for 3`. What happened follows, each after a comma.
clip-title = { $game }, { $when }, { $team } { $screener } for { $handler }
clip-open-shot = open shot, no points
# At a title's end, where the clip stops before the possession does.
clip-shot-later = the shot comes later
clip-goes-on = the possession goes on
clips-track = ball screens
clips-video = { $game } video
clips-period = { $game } period { $period }
clips-times-video = Times are those of the video.
clips-times-period = The video's offset is not known: times count from the first frame of period { $period }.
