package org.tarebook.http;

import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The condition {@code If-Match} of RFC 9110, section 13.1.1: {@code *}, or a list of entity tags.
 * A weak tag matches nothing; an empty element of the list is ignored (section 5.6.1).
 */
public final class IfMatch {

  private static final Pattern ELEMENT =
      Pattern.compile("\\G[ \\t]*(?:(W/)?\"([!#-~]*)\"[ \\t]*)?(?:,|$)");

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
    Matcher element = ELEMENT.matcher(header);
    String now = Long.toString(version);
    boolean any = false;
    boolean met = false;
    int read = 0;
    while (read < header.length() && element.find()) {
      any |= element.group(2) != null;
      met |= element.group(1) == null && now.equals(element.group(2));
      read = element.end();
    }
    if (!any || read < header.length()) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          "If-Match must be the ETag that was read, with its quotes, such as \"3\"; a list of such"
              + " with commas, or *.");
    }
    return met;
  }
}
