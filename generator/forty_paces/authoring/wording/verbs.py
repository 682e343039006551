"""Word lists for recognizing imperatives, participles and noun chains.

A missing verb is added to the list in this module; there is no configuration file.
"""

from __future__ import annotations


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


VERBS = _listed(
    """
    abandon accelerate accept act adapt add adjust admit advise agree aim alert allow anchor answer
    appear apply approach arrange arrive ask assess assist attach attend avoid await back balance
    bandage be bear beat become begin bend bind bleed block blow bolt boost bow brace brake break
    breathe bring brush buckle bump burn bury buy call calm camp cancel care carry cast catch center
    change charge chase check chock choose clamp clean clear climb clip close clutch coast coil
    collect come comfort compare compress confirm connect consider consult contact contain continue
    control cool cooperate copy correct cough count counter countersteer couple cover crack cradle
    crawl creep cross crouch cup curl cut dab damp decide declare defend delay deliver deny depart
    deploy depress describe detach determine dial dig dim direct disconnect disengage dispose do
    dodge douse downshift draft drag drain draw dress drink drive drop dry duck dump earn ease eat
    edge eject elevate empty enclose end endure engage ensure enter erase escape escort estimate
    evacuate examine exchange excuse exercise exhale exit expect explain expose extend extinguish
    face fasten feather feel fetch fight file fill film find finish fit fix flag flash flatten flip
    float flood flush focus fold follow force forget form forward free freeze fuel gather gauge gear
    get give glance glue go grab greet grip ground grow guard guide halt hammer hand handle hang
    harness haul have head heap hear heat heed help hide hit hold hook hurry ignore imagine improve
    inch increase indicate inflate inform inhale insert inspect install insulate invite isolate jack
    jettison join judge jump keep kick kneel knock know label laugh launch lay lead lean learn leave
    lend lessen let level lick lie lift light limit line link list listen load lock log look loop
    loosen lose love lower maintain make manage mark match measure meet mend mention mind mix modify
    monitor mop mount move nail name narrow near neutralize nod note notify nudge number obey
    observe offer open operate order overtake own pack pad paint park pass pause peel permit phone
    photograph pick pile pin pinch place plan plant plug point poke polish pour practice pray
    prepare preserve press prevent proceed promise prop protect prove provide pry pull pump push put
    quit radio raise rake rank rate reach react read reassure rebuild receive recheck reconnect
    record recouple recover redo reduce refer refill refit refuel refuse release reload rely remain
    remember remind remove rent repair repeat replace report require rescue reserve reset resist
    respect respond rest restart restrict resume rethink retrieve return reverse review rid ride
    ring rinse rock roll rotate rub run save say scan scatter scrape screw scrub seal search seat
    secure see seek seize select send sense separate serve set settle shake share shelter shield
    shift shine shoot shorten shout shovel show shrink shuffle shut sign signal sit skip slacken
    slam slap sleep slide slip slope slow smell smother snap snug soak solve sort sound sow space
    speak speed spin splash split sponge spot spray spread squat squeeze stabilize stack stamp stand
    stare start state stay steady steer step stick stir stop store stow straighten strap stretch
    strike strip struggle study stuff submit suck support suppose surrender suspect swap sweat sweep
    swerve swim swing switch take talk tap tape taste teach tell tend test thank thaw think throw
    tie tighten tilt tip tire toss total touch tow trace track trade trail transfer travel treat
    trigger trim truck trust try tuck turn twist unbuckle unclip uncouple uncover undo unfold
    unhitch unhook unlatch unload unlock unplug unroll unscrew unstrap untie unwind update upgrade
    urge use vent verify view visit void wait wake walk warm warn wash waste watch wave weaken wear
    wedge weigh weld wet whistle widen wind wipe wish withdraw wonder work wrap write yank yell
    yield zip
    """
)
"""Verbs that an instruction can begin with, in base form."""

ALSO_NOUNS = _listed(
    """
    act alert anchor arm back balance bandage bend block bolt boost bow brake break brush bump burn
    call camp care cast catch center change charge chase check clamp clear climb clip close clutch
    coil control cool copy cough count counter couple cover crack cross cup curl cut damp delay dial
    draft drag drain draw dress drink drive drop dry duck dump edge empty end escape escort estimate
    exercise face fight file fill film find finish fit fix flag flash flip float flood flush focus
    fold force form forward free freeze fuel gauge gear glance glue grip ground guard guide halt
    hammer hand handle hang harness haul head heap heat help hide hit hold hook inch jack jam judge
    jump kick knock label laugh launch lead lean level light limit line link list load lock log look
    loop love lower mark match mind mix monitor mount move nail name narrow near nod note number
    offer open order own pack pad paint park pass pause phone pick pile pin pinch place plan plant
    plug point poke polish practice press promise prop pull pump push radio rake rank rate reach
    record repair replace report reset rest return reverse review ride ring rock roll rub run save
    scan screw seal search seat sense set share shelter shield shift shovel show sign signal skip
    slap sleep slide slip slope slow smell snap sort sound space speed spin split sponge spot spray
    spread stack stamp stand stare start state stay steady step stick stir stop store strap stretch
    strike strip struggle study support suspect swap sweat sweep swing switch tap tape taste test
    throw tie tilt tip tire toss total touch tow trace track trade trail transfer travel treat
    trigger trim truck trust try turn twist update upgrade use vent view visit void wait wake walk
    warm wash waste watch wave wear wedge wet whistle wind wish wonder work wrap
    """
)
"""Verbs that are also nouns or adjectives, so that 'and brake' may mean the brake."""

ADVERBS = _listed(
    """
    again also always briefly calmly carefully finally firmly first fully gently gradually hard
    immediately just lightly loudly next now only please quickly really slowly smoothly softly
    steadily still then together
    """
)
"""Words that can precede the verb of an instruction."""

STATES = _listed(
    """
    bent blocked broken burned burnt closed covered cracked crossed crowded cut damaged divided done
    finished fitted fixed flooded frozen gone hurt injured jammed limited lit loaded locked loose
    marked needed parked paved placarded posted raised required sealed set shut stopped stranded
    stuck tilted tired trapped used worn
    """
)
"""Participles that name a visible state, so that 'is loaded' is not a passive."""

IRREGULAR_PARTICIPLES = _listed(
    """
    beaten bent bitten blown bought bound broken brought built caught chosen cut dealt done drawn
    driven drunk eaten fallen fed felt flung forgiven forgotten fought found frozen given ground
    grown heard held hidden hit hung hurt kept known laid led left lent let lit lost made meant met
    overtaken paid put read ridden run sawn seen sent set shaken shot shown shut split spoken spread
    stolen struck stuck swept sworn swung taken taught thought thrown told torn understood woken won
    worn wound written
    """
)
"""Past participles that do not end in -ed."""

AFTER_A_VERB = ADVERBS | _listed(
    """
    the a an your it them this that these those each every all both him her everyone anyone nothing
    to off on out away down up back over in into at for with from until around again straight once
    left right toward by any no well clear one two
    """
)
"""Words that follow a verb but rarely a noun: 'brake gently', unlike 'brake lights'."""

_SAID_OF_OTHERS = frozenset(verb + ending for verb in VERBS for ending in ("s", "es"))

_LITTLE_WORDS = _listed(
    """
    a an the this that these those your each every any some all both no none one two three and or
    but if when while until where who which what why how of in on at to for from with without by as
    than then not never is are was were be been has have had do does did can may might could would
    must should will you it they them its their there here off out up down away back over under
    behind ahead before after past into onto near only just also still so too very more most less
    least other another first next last same own such well against through within toward along
    around between again always once far farther nearer nothing nobody everyone anyone somebody else cannot
    """
)

PARTS = _listed(
    """
    brake cap clutch cover drain fire fuel gauge gear handle harness hood horn light line load lock
    pump signal strap switch test tire traffic trailer truck water
    """
)
"""Verbs that are mostly nouns here, such as vehicle parts, so that they can be part of a noun chain."""

LINKING = (VERBS - PARTS) | _SAID_OF_OTHERS | _LITTLE_WORDS
"""Words that end a noun chain."""

QUALITIES = _listed(
    """
    hot cold wet dry flat soft hard loose tight full empty low high deep steep sharp slow fast
    bright dark clear open shut safe clean new old big small large long short wide narrow left right
    front rear inner outer near far good bad local own heavy light strong weak main dead live
    nearest single double whole
    """
)
"""Adjectives, which are not part of a noun chain."""
