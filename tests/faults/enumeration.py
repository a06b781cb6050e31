# SPDX-License-Identifier: MIT
"""One gene in a small herd by full enumeration: every copy number of every animal, every sire that may be
the sire, every sex not recorded. Nothing is peeled, cut or sampled: the sum over all worlds, as numpy
arrays with one axis an animal. Follows DEFINITIONS 3, 5 and 11 and knows nothing of the program."""
import datetime
import itertools

import numpy
from gene_rules import SEXES, founders, shown_row, transmission, unwanted
from random_book import AS_OF, DAY, WORDS


class Enumeration:
    def __init__(self, book, keys, told):
        """keys: the entries of one locus, the one that gives the frequency first."""
        self.book, self.told = book, told
        self.faults = [book.faults[k] for k in keys]
        self.base = self.faults[0]
        self.n = len(book.animals)
        self.parents = {p for a in book.animals for p in (a.sire, a.dam) if p is not None}
        self.parents |= {b for a in book.animals if a.draw is not None for b, _ in book.draws[a.draw][0]
                         if len(book.draws[a.draw][0]) == 1}
        self.breeds = [self.breed(i) for i in range(self.n)]
        self.weights = self.run()

    def breed(self, i):
        a = self.book.animals[i]
        if a.breed:
            return a.breed
        known = [self.breed(p) for p in (a.sire, a.dam) if p is not None]
        mix = {}
        for b in known:
            for name, share in b.items():
                mix[name] = mix.get(name, 0) + share / len(known)
        return mix

    def q(self, i):
        f = self.base.q
        return sum(share * f.get(name, f["other"]) for name, share in self.breeds[i].items())

    # --- what was seen -----------------------------------------------------------------------------
    def detection(self, fault, look):
        age = look.age
        born = self.book.animals[look.animal].born
        if age == "" and look.date and born:
            age = (look.date - born).days
        elif age in WORDS:
            age = WORDS[age]
        if age == "":
            return min(d for _, d in fault.detection)
        d = 0.0
        for start, chance in fault.detection:
            if int(age) >= start:
                d = chance
        return d

    def looks(self, fault, i):
        """(found, detection, date) of one animal."""
        a = self.book.animals[i]
        result = [(k.found, self.detection(fault, k), k.date) for k in self.book.looks if k.animal == i and k.fault == fault.key]
        at = lambda age: [d for start, d in fault.detection if age >= start][-1]
        if fault.key == "polled" and a.horns:
            result.append(("yes" if a.horns == "polled" else "no", at(0), None))
        if fault.key == "intersex":
            if a.sex == "intersex":
                result.append(("yes", min(d for _, d in fault.detection), None))
            if any(b.dam == i for b in self.book.animals) or any(k.doe == i for k in self.book.kiddings):
                result.append(("no", at(365), None))
        return result

    def died_young(self, fault, a):
        return bool(a.left_why == "died" and a.born and a.left and (a.left - a.born).days < fault.lethal)

    def known_alive(self, fault, i):
        a = self.book.animals[i]
        if i in self.parents:
            return True
        if not a.born or self.died_young(fault, a):   # a test of a dead kid's tissue may bear a later date
            return False
        days = [k.date for k in self.book.looks if k.animal == i and k.date] + ([a.left] if a.left else [])
        days += [k.date for k in self.book.kiddings if k.doe == i]
        days += [datetime.date.fromisoformat(t[3]) for t in self.book.tests if t[0] == i and t[3]]
        if not a.left:
            days.append(AS_OF)
        return max(days) > a.born + DAY * fault.lethal

    def found(self, fault, i):
        """The one look that counts: (grade index, "any" unwanted, or None, detection)."""
        def grade(word):
            if word == "no":
                return fault.wanted
            if word in ("yes", "removed"):
                return fault.grades.index("yes") if word == "yes" and "yes" in fault.grades else "any"
            return fault.grades.index(word)
        seen = [(grade(f), d, date) for f, d, date in self.looks(fault, i)]
        if fault.lethal and self.known_alive(fault, i):
            seen.append((fault.wanted, 1.0, None))
        if not seen:
            return None, 0.0
        if fault.repeat == "worst":
            chosen = max(seen, key=lambda s: (s[0] != fault.wanted, s[0] != "any", s[0] if s[0] != "any" else -1))[0]
        else:
            last = max((s[2] for s in seen if s[2]), default=None)
            at_last = [s for s in seen if s[2] == last]
            if len({s[0] for s in at_last}) > 1:      # two looks of one day: the worse
                chosen = max(at_last, key=lambda s: (s[0] != fault.wanted, s[0] != "any", s[0] if s[0] != "any" else -1))[0]
            else:
                chosen = at_last[-1][0]
        return chosen, max(s[1] for s in seen if s[0] == chosen)

    def look_likelihood(self, fault, i, sex):
        if sex not in fault.shown:
            return numpy.ones(3)
        grade, d = self.found(fault, i)
        if grade is None:
            return numpy.ones(3)
        bad = unwanted(fault, sex)
        if grade == "any":
            return d * bad
        if grade == fault.wanted:
            return 1 - d * bad
        return d * numpy.array([shown_row(fault, sex, k)[grade] for k in range(3)])

    def test_likelihood(self, i, sex):
        e, out = self.base.error, numpy.ones(3)
        copies = {"clear": 0, "carrier": 1, "affected": 2, "0": 0, "1": 1, "2": 2}
        samples = {}
        for animal, key, result, date, lab in self.book.tests:
            if animal == i and key == self.base.key:
                samples.setdefault((date, lab), set()).add(copies[result])
        for results in samples.values():
            if len(results) > 1:
                continue
            r = results.pop()
            if self.base.x_linked and sex == "buck":
                out *= numpy.array([1 - e, e, 0] if r == 0 else [e, 1 - e, 0])
            else:
                out *= numpy.array([[1 - e, e / 2, 0], [e, 1 - e, e], [0, e / 2, 1 - e]][r])
        return out

    def dead_likelihood(self, fault, i, sex):
        """Died before the age, not examined."""
        a = self.book.animals[i]
        if not fault.lethal or not self.died_young(fault, a) or self.looks(fault, i):
            return numpy.ones(3)
        return unwanted(fault, sex) + (1 - unwanted(fault, sex)) * (1 - 0.9)

    def tells_of_itself_only(self, fault, i):
        a = self.book.animals[i]
        if not fault.lethal or not self.known_alive(fault, i):
            return False
        return a.kidding is None or self.book.kiddings[a.kidding].born is None

    def likelihoods(self, i, sex):
        """(what counts for everybody, what a survivor's table is divided by)."""
        own, alive = self.test_likelihood(i, sex), None
        for fault in self.faults:
            look = self.look_likelihood(fault, i, sex)
            if self.tells_of_itself_only(fault, i) and self.found(fault, i)[0] == fault.wanted:
                alive = look
            else:
                own = own * look
            own = own * self.dead_likelihood(fault, i, sex)
        return own, alive

    # --- all worlds ---------------------------------------------------------------------------------
    def count_factor(self, count):
        sire, key, examined, affected, dam, sex, _ = count
        fault = self.book.faults[key]
        sexes = [sex] if sex else [s for s in SEXES if s in fault.shown]
        p = sum(min(d for _, d in fault.detection) * transmission(self.base.x_linked, s) @ unwanted(fault, s) for s in sexes) / len(sexes)
        if dam is None:
            p = p @ founders(self.q(sire))
            return p ** affected * (1 - p) ** (examined - affected), (sire,)
        return p ** affected * (1 - p) ** (examined - affected), (sire, dam)

    def rowless_factor(self, k, fault):
        """Kids of a kidding that have no row, seen through kids_alive and kids_raised."""
        kidding = self.book.kiddings[k]
        if not fault.lethal or kidding.born is None or (kidding.alive is None and kidding.raised is None):
            return None
        rows = [a for a in self.book.animals if a.kidding == k]
        dead_rows = sum(a.left_why == "died" for a in rows)
        room = kidding.born - len(rows)
        fewest = min(x for x in (kidding.alive, kidding.raised) if x is not None)
        dead = max(0, min(kidding.born - fewest - dead_rows, room))
        counted = kidding.raised if kidding.raised is not None else kidding.alive
        living = max(0, min(counted - (len(rows) - dead_rows), room - dead))
        gone = alive = 0
        for sex in SEXES:
            t, bad = transmission(self.base.x_linked, sex), unwanted(fault, sex)
            gone = gone + t @ (bad + (1 - bad) * (1 - 0.9)) / 2
            alive = alive + t @ (1 - bad) / 2
        return gone ** dead * alive ** living

    def axes(self, factor, where, total):
        """A factor over some animals as an array over all."""
        order = sorted(range(len(where)), key=lambda j: where[j])
        shape = [1] * total
        for j in where:
            shape[j] = 3
        return numpy.transpose(factor, order).reshape(shape)

    def kid_table(self, i, sex, own, alive):
        t = transmission(self.base.x_linked, sex)
        if alive is not None:
            t = t * alive
            sums = t.sum(axis=2, keepdims=True)
            t = numpy.divide(t, sums, out=numpy.zeros_like(t), where=sums > 0)
        return t * own

    def run(self):
        book = self.book
        total_weights = 0
        unsure_sex = [i for i, a in enumerate(book.animals) if a.male is None and i not in self.parents]
        used = sorted({a.draw for a in book.animals if a.draw is not None})
        options = []
        for g in used:
            listed = [(b, p) for b, p in book.draws[g][0]]
            rest = 1 - sum(p for _, p in listed)
            options.append(listed + ([(None, rest)] if rest > 1e-12 else []))
        for sexes in itertools.product(SEXES, repeat=len(unsure_sex)):
            sex = ["buck" if a.male else "doe" for a in book.animals]
            for i, s in zip(unsure_sex, sexes):
                sex[i] = s
            for choice in itertools.product(*options):
                chance = 0.5 ** len(unsure_sex)
                for _, p in choice:
                    chance *= p
                total_weights = total_weights + chance * self.world(sex, dict(zip(used, choice)))
        return total_weights

    def world(self, sex, chosen):
        book, x = self.book, self.base.x_linked
        strangers = [g for g, (buck, _) in chosen.items() if buck is None]
        total = self.n + len(strangers)
        w = numpy.ones((1,) * total)
        for j, g in enumerate(strangers):
            kid = next(i for i, a in enumerate(book.animals) if a.draw == g)
            w = w * self.axes(founders(self.q(kid), x), (self.n + j,), total)
        for i, a in enumerate(book.animals):
            own, alive = self.likelihoods(i, sex[i])
            sire = a.sire
            if a.draw is not None:
                sire = chosen[a.draw][0]
                if sire is None:
                    sire = self.n + strangers.index(a.draw)
            if sire is None and a.dam is None:
                prior = founders(self.q(i), x and sex[i] == "buck")
                w = w * self.axes(prior * own * (1 if alive is None else alive), (i,), total)
                continue
            t = self.kid_table(i, sex[i], own, alive)
            q = self.q(i)
            if sire is None:
                w = w * self.axes(numpy.einsum("s,sdk->dk", founders(q, x), t), (a.dam, i), total)
            elif a.dam is None:
                w = w * self.axes(numpy.einsum("d,sdk->sk", founders(q), t), (sire, i), total)
            else:
                w = w * self.axes(t, (sire, a.dam, i), total)
        for count in book.counts:
            if count[1] in [f.key for f in self.faults] and (self.told or count[6] != "told"):
                w = w * self.axes(*self.count_factor(count), total)

        def sire_of_kidding(k):
            if book.kiddings[k].sire is not None:
                return book.kiddings[k].sire
            draw = next(a.draw for a in book.animals if a.kidding == k)
            return self.n + strangers.index(draw) if chosen[draw][0] is None else chosen[draw][0]

        for k, kidding in enumerate(book.kiddings):
            for fault in self.faults:
                factor = self.rowless_factor(k, fault)
                if factor is not None:
                    w = w * self.axes(factor, (sire_of_kidding(k), kidding.doe), total)
        return w.sum(axis=tuple(range(self.n, total))) * numpy.ones((3,) * self.n)

    def joint(self, sire, doe):
        w = self.weights.sum(axis=tuple(j for j in range(self.n) if j not in (sire, doe)))
        return (w if sire < doe else w.T) / w.sum()
