package org.tarebook.http;

import com.fasterxml.jackson.annotation.JsonInclude;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.web.context.request.RequestContextHolder;
import org.springframework.web.context.request.ServletRequestAttributes;
import org.springframework.web.servlet.support.ServletUriComponentsBuilder;

/**
 * One page of a list.
 *
 * @param items the things of this page, in the list's fixed order
 * @param next the address of the next page; absent on the last
 * @param cursor the cursor in that address, for clients that build addresses from parameters
 */
@JsonInclude(JsonInclude.Include.NON_NULL)
public record Page<T>(List<T> items, @Nullable String next, @Nullable String cursor) {

  /** A list that is short enough to be one page. */
  public static <T> Page<T> whole(List<T> items) {
    return new Page<>(items, null, null);
  }

  /**
   * Cuts a list that was read one longer than the page, to know whether it goes on.
   *
   * @param found at most {@code limit + 1} things
   * @param cursorAfter the sealed cursor behind the last thing of the page
   */
  public static <T> Page<T> cut(List<T> found, int limit, Function<T, String> cursorAfter) {
    if (found.size() <= limit) {
      return whole(found);
    }
    List<T> items = found.subList(0, limit);
    String cursor = cursorAfter.apply(items.get(limit - 1));
    String next =
        ServletUriComponentsBuilder.fromCurrentRequestUri()
            .query(withoutCursor())
            .queryParam("cursor", cursor)
            .build(true)
            .toUri()
            .toString();
    return new Page<>(List.copyOf(items), next.substring(next.indexOf("/api/")), cursor);
  }

  /** The same page of what its things are shown as. */
  public <V> Page<V> of(List<V> shown) {
    return new Page<>(shown, next, cursor);
  }

  private static String withoutCursor() {
    String query =
        ((ServletRequestAttributes) RequestContextHolder.currentRequestAttributes())
            .getRequest()
            .getQueryString();
    return query == null
        ? ""
        : Stream.of(query.split("&"))
            .filter(parameter -> !parameter.startsWith("cursor=") && !parameter.isEmpty())
            .collect(Collectors.joining("&"));
  }
}
