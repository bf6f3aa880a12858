package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tarebook.cure.ChannelLog.Conflict;
import org.tarebook.cure.ChannelLog.Said;
import org.tarebook.cure.ChannelLog.Settled;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/** Moments for which a channel was sent with different values. */
final class Conflicts {

  private Conflicts() {}

  /** The doubt about those that are open, and a remark for each settlement. */
  static List<Reason> of(ChannelLog log, CureLog cure) {
    List<Reason> found = new ArrayList<>();
    open(log, cure).ifPresent(found::add);
    found.addAll(settled(log, cure));
    return found;
  }

  private static Optional<Reason> open(ChannelLog log, CureLog cure) {
    List<Conflict> conflicts = log.conflicts();
    if (conflicts.isEmpty()) {
      return Optional.empty();
    }
    Conflict first = conflicts.get(0);
    return Optional.of(
        Reason.of(
                Reason.Code.CONFLICT,
                Reason.Weight.DOUBT,
                Words.capital(log.channel().words())
                    + " was sent with different values for "
                    + (conflicts.size() == 1
                        ? "one moment: "
                        : conflicts.size() + " moments, the first of them: ")
                    + said(first.one(), log)
                    + " and "
                    + said(first.other(), log)
                    + " for "
                    + cure.at(first.at())
                    + "; none of them is used until a person settles which stands.")
            .on(log.channel())
            .from(cure.at(first.at()), cure.at(conflicts.get(conflicts.size() - 1).at()))
            .amount(conflicts.size(), Unit.COUNT.code())
            .done());
  }

  /** What persons settled of conflicts, a remark for each settlement. */
  private static List<Reason> settled(ChannelLog log, CureLog cure) {
    Map<Settlement, List<Settled>> bySettlement = new LinkedHashMap<>();
    log.settled()
        .forEach(one -> bySettlement.computeIfAbsent(one.by(), by -> new ArrayList<>()).add(one));
    List<Reason> found = new ArrayList<>();
    bySettlement.forEach(
        (by, moments) ->
            found.add(
                Reason.of(
                        Reason.Code.CONFLICT_SETTLED,
                        Reason.Weight.REMARK,
                        Words.capital(log.channel().words())
                            + " was sent with different values for "
                            + (moments.size() == 1 ? "one moment" : moments.size() + " moments")
                            + "; "
                            + by.person()
                            + " settled that "
                            + (by.asked().stands() == null
                                ? "no value stands: "
                                : "those of piece " + by.asked().stands() + " stand: ")
                            + by.asked().reason())
                    .on(log.channel())
                    .from(
                        cure.at(moments.get(0).conflict().at()),
                        cure.at(moments.get(moments.size() - 1).conflict().at()))
                    .amount(moments.size(), Unit.COUNT.code())
                    .done()));
    return found;
  }

  private static String said(Said said, ChannelLog log) {
    return Decimals.plain(BigDecimal.valueOf(said.shown())).toPlainString()
        + " "
        + log.channel().sent().label()
        + " (piece "
        + said.piece()
        + ")";
  }
}
