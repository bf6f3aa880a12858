package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.CollectionTable;
import jakarta.persistence.Column;
import jakarta.persistence.ElementCollection;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import jakarta.persistence.FetchType;
import jakarta.persistence.JoinColumn;
import jakarta.persistence.OrderColumn;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A tyre type: size, ply rating, construction and the list of components it is built of. */
@Entity
public class Product extends Coded {

  private String size = "";
  private @Nullable Integer plyRating;

  @Enumerated(EnumType.STRING)
  private Construction construction = Construction.BIAS;

  @ElementCollection(fetch = FetchType.EAGER)
  @CollectionTable(name = "product_component", joinColumns = @JoinColumn(name = "product_id"))
  @OrderColumn(name = "position")
  @Column(name = "component_id")
  private List<Long> componentIds = new ArrayList<>();

  /** How the plies lie. */
  @Schema(name = "ProductConstruction", description = "The construction of a tyre.")
  public enum Construction {
    @Schema(description = "Bias plies.")
    BIAS,
    @Schema(description = "Bias plies with a belt.")
    BELTED_BIAS,
    @Schema(description = "Radial plies.")
    RADIAL
  }

  /** For JPA. */
  protected Product() {}

  Product(String code, String name) {
    super(code, name);
  }

  /** The size as moulded on the sidewall. */
  public String size() {
    return size;
  }

  /** The ply rating; absent where the tyre has none. */
  public @Nullable Integer plyRating() {
    return plyRating;
  }

  /** How the plies lie. */
  public Construction construction() {
    return construction;
  }

  /** The build list, in the order the components are put on. */
  public List<Long> componentIds() {
    return List.copyOf(componentIds);
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }

  void design(
      String newSize,
      @Nullable Integer newPlyRating,
      Construction newConstruction,
      List<Long> buildList) {
    size = newSize;
    plyRating = newPlyRating;
    construction = newConstruction;
    componentIds.clear();
    componentIds.addAll(buildList);
  }
}
