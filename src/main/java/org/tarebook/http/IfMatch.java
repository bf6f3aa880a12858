package org.tarebook.http;

import org.springframework.http.ETag;

/**
 * The condition {@code If-Match} of RFC 9110, section 13.1.1: {@code *}, or a list of entity tags.
 * A weak tag matches nothing.
 */
public final class IfMatch {

  private static final String FORM = "\\s*(W/)?\"[!#-~]*\"\\s*(,\\s*(W/)?\"[!#-~]*\"\\s*)*";

  /** Longer lists are refused: the pattern would be matched too deep. */
  private static final int LONGEST = 1000;

  private IfMatch() {}

  /**
   * Whether a thing that is there in some version meets the condition.
   *
   * @param header as it was sent
   * @throws Problem where the header is neither {@code *} nor such a list
   */
  public static boolean met(String header, long version) {
    if (header.strip().equals("*")) {
      return true;
    }
    if (header.length() > LONGEST || !header.matches(FORM)) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          "If-Match must be the ETag that was read, with its quotes, such as \"3\"; a list of such"
              + " with commas, or *.");
    }
    ETag now = new ETag(Long.toString(version), false);
    return ETag.parse(header).stream().anyMatch(each -> now.compare(each, true));
  }
}
